"""Why a part of a rule needs no item: somebody or something else answers to it."""

MECHANIC = "the mechanic's part: clearing a defect"
VERDICT = "the verdict's part: a defect or hold tags the unit out"
LOGBOOK = "the logbook's part: every defect stands in it"
CONDUCT = "conduct at work, not a thing to look at"
