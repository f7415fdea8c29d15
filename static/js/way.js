/** Which kept page shows what an address of the server's would have shown. */

/** Return a kept page's address, `{label}` for a scanned label, or nothing. */
export function wayOf({ pathname, search }) {
  const [, first, unit, second, third] = pathname.split("/").map(decodeURIComponent)
  const query = new URLSearchParams(search)
  if (first === "q") return { label: unit }
  if (["", "board", "defects"].includes(first) && !unit) return { page: "/kept/units" }
  if (first === "defects" && third === "clearing") return { unit, page: "/kept/clear", defect: second }
  if (first === "defects") return { unit, page: "/kept/unit" }
  if (first !== "units") return {}
  if (!unit) return { page: "/kept/units", number: query.get("number") ?? undefined }
  if (second === "walkarounds" && third === "new") {
    return { unit, list: "walkarounds", occasion: query.get("occasion") ?? "start_of_shift" }
  }
  if (second === "defects") return { unit, list: "reports", occasion: "start_of_shift" }
  const pages = { hours: "/kept/hours", fills: "/kept/fill" }
  return { unit, page: pages[second] ?? "/kept/unit" }
}
