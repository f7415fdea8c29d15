"""What every answer says to the browser about itself."""

from flask import Flask, Response, current_app, request

from walkaround.web import assets

HEADERS = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",  # never no-referrer: over HTTPS forms are refused without one
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), geolocation=(), microphone=(), payment=(), usb=()",
}
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self' {style}; img-src 'self' blob:; "
    "font-src 'self'; connect-src 'self'; manifest-src 'self'; worker-src 'self'; "
    "form-action 'self'; frame-ancestors 'none'; base-uri 'none'; object-src 'none'; "
    "require-trusted-types-for 'script'; trusted-types walkaround"
)


def register(app: Flask) -> None:
    """Put the headers on every answer, errors and files too."""
    app.after_request(harden)


def harden(response: Response) -> Response:
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    policy = POLICY.format(style=assets.style_source())
    response.headers.setdefault("Content-Security-Policy", policy)
    if current_app.config["HTTPS"]:
        response.headers.setdefault("Strict-Transport-Security", "max-age=31536000")
    kept = request.endpoint == "kept_file"
    response.headers.setdefault("Cache-Control", "public" if kept else "private, no-cache")
    return response
