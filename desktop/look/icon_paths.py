"""The program's own icons as strokes on a 24 x 24 field; drawn by `desktop.look.icons`."""

from __future__ import annotations

#: name -> inner SVG; `fill="C"` parts are filled with the icon's colour, all else is stroked with it.
PATHS: dict[str, str] = {
    "tonight": '<path d="M18.6 14.9A7.6 7.6 0 0 1 9.1 5.4a7.6 7.6 0 1 0 9.5 9.5Z"/>'
    '<path d="M16 4.5v3M14.5 6h3"/>',
    "people": '<circle cx="9" cy="8.2" r="3.2"/><path d="M3.2 19.2c.5-4 2.7-5.9 5.8-5.9s5.3 1.9 5.8 5.9"/>'
    '<path d="M15 5.4a3.1 3.1 0 0 1 .3 5.8M17.4 13.9c2 .7 3 2.4 3.4 5.3"/>',
    "house": '<path d="M4 11.4 12 4.6l8 6.8"/><path d="M6.2 10.2v9.2h11.6v-9.2"/>'
    '<path d="M10.2 19.4v-5h3.6v5"/>',
    "job": '<rect x="5" y="5.2" width="14" height="15.2" rx="1.8"/><path d="M9.2 3.6h5.6v3.2H9.2z"/>'
    '<path d="M8.4 11.4h7.2M8.4 15.2h4.8"/>',
    "margins": '<path d="M4 19.8h16"/><path d="M6.6 16.8v-5M12 16.8V5M17.4 16.8V9.2"/>',
    "company": '<path d="M4.4 19.8V8.6h7.4v11.2M11.8 19.8V4.4h7.8v15.4M3 19.8h18"/>'
    '<path d="M7 12h2M7 15.6h2M14.6 8h2.2M14.6 11.8h2.2M14.6 15.6h2.2"/>',
    "search": '<circle cx="10.6" cy="10.6" r="5.8"/><path d="m15 15 5 5"/>',
    "plus": '<path d="M12 5v14M5 12h14"/>',
    "undo": '<path d="M8.4 5 4.4 9l4 4"/><path d="M4.8 9h9.4a5 5 0 0 1 0 10H9"/>',
    "redo": '<path d="m15.6 5 4 4-4 4"/><path d="M19.2 9H9.8a5 5 0 0 0 0 10H15"/>',
    "warning": '<path d="M12 4.2 3.4 19.4h17.2Z"/><path d="M12 10v4.4"/>'
    '<circle cx="12" cy="16.9" r=".9" fill="C" stroke="none"/>',
    "check": '<path d="m4.8 12.6 4.8 4.8L19.4 7"/>',
    "cross": '<path d="m6 6 12 12M18 6 6 18"/>',
    "clock": '<circle cx="12" cy="12" r="8"/><path d="M12 7.2V12l3.4 2.2"/>',
    "calendar": '<rect x="4" y="5.6" width="16" height="14.4" rx="1.8"/>'
    '<path d="M4 10h16M8.4 3.6v3.6M15.6 3.6v3.6"/>',
    "note": '<path d="M5 4.6h14v9.8L14.4 19.4H5Z"/><path d="M19 14.4h-4.6v5M8.2 9h7.6M8.2 12.6h4"/>',
    "paper": '<path d="M6.2 3.8h7.8l4 4v12.4H6.2Z"/><path d="M13.8 3.8v4.2H18M9 12.2h6M9 15.8h6"/>',
    "table": '<rect x="3.8" y="4.8" width="16.4" height="14.4" rx="1.6"/>'
    '<path d="M3.8 9.6h16.4M3.8 14.4h16.4M10 9.6v9.6"/>',
    "up": '<path d="m6 14.8 6-6 6 6"/>',
    "down": '<path d="m6 9.2 6 6 6-6"/>',
    "left": '<path d="m14.8 6-6 6 6 6"/>',
    "right": '<path d="m9.2 6 6 6-6 6"/>',
    "trash": '<path d="M4.6 7h14.8M9.2 7V4.4h5.6V7M6.6 7l.9 12.8h9L17.4 7"/>'
    '<path d="M10.4 10.6v5.8M13.6 10.6v5.8"/>',
    "archive": '<path d="M3.8 5h16.4v4.2H3.8zM5.4 9.2v10h13.2v-10"/><path d="M9.8 13h4.4"/>',
    "copy": '<rect x="8.6" y="8.6" width="11" height="11.2" rx="1.6"/><path d="M15.4 8.4V4.6H4.6v11h3.8"/>',
    "camera": '<path d="M3.8 7.8h4l1.6-2.6h5.2l1.6 2.6h4v11.4H3.8Z"/><circle cx="12" cy="13.2" r="3.4"/>',
    "play": '<path d="M8 5.2v13.6l10.8-6.8Z" fill="C"/>',
    "stop": '<rect x="6.6" y="6.6" width="10.8" height="10.8" rx="1.4" fill="C"/>',
    "timer": '<circle cx="12" cy="13.4" r="7"/><path d="M12 9.6v3.8M9.8 3.6h4.4M17.4 6.6l1.4 1.4"/>',
    "phone": '<path d="M5.2 4.6h4l1.4 4-2.2 1.8a11 11 0 0 0 5.2 5.2l1.8-2.2 4 1.4v4c-8.4.5-14.7-5.8-14.2-14.2Z"/>',
    "mail": '<rect x="3.6" y="5.6" width="16.8" height="12.8" rx="1.6"/><path d="m4.2 7 7.8 6.2L19.8 7"/>',
    "settings": '<path d="M4 7h8M17 7h3M4 17h3M12 17h8M4 12h2.5M11.5 12H20"/>'
    '<circle cx="14.5" cy="7" r="2.3"/>'
    '<circle cx="9" cy="12" r="2.3"/><circle cx="9.5" cy="17" r="2.3"/>',
    "edit": '<path d="M5 19l.8-4L15.6 5.2l3.2 3.2L9 18.2Z"/><path d="m13.6 7.2 3.2 3.2"/>',
    "more": '<circle cx="5.6" cy="12" r="1.5" fill="C" stroke="none"/>'
    '<circle cx="12" cy="12" r="1.5" fill="C" stroke="none"/>'
    '<circle cx="18.4" cy="12" r="1.5" fill="C" stroke="none"/>',
    "open": '<path d="M12.8 4.6h6.6v6.6M19 5l-8.2 8.2"/><path d="M16.4 13.6v5.8H4.6V7.6h5.8"/>',
    "save": '<path d="M12 4v10.6M7.6 10.4 12 14.8l4.4-4.4"/><path d="M4.8 15v4.6h14.4V15"/>',
    "import": '<path d="M12 14.8V4.2M7.6 8.6 12 4.2l4.4 4.4"/><path d="M4.8 15v4.6h14.4V15"/>',
    "zoom_in": '<circle cx="10.6" cy="10.6" r="5.8"/><path d="m15 15 5 5M10.6 8v5.2M8 10.6h5.2"/>',
    "zoom_out": '<circle cx="10.6" cy="10.6" r="5.8"/><path d="m15 15 5 5M8 10.6h5.2"/>',
    "fit": '<path d="M4.6 9V4.6H9M15 4.6h4.4V9M19.4 15v4.4H15M9 19.4H4.6V15"/>',
    "info": '<circle cx="12" cy="12" r="8"/><path d="M12 11v5.2"/>'
    '<circle cx="12" cy="8" r=".9" fill="C" stroke="none"/>',
    "truck": '<path d="M3 6.2h10.6v10H3zM13.6 9.8h4.2l3.2 3.4v3h-7.4"/><circle cx="7.2" cy="17.4" r="1.9"/>'
    '<circle cx="17" cy="17.4" r="1.9"/>',
    "money": '<rect x="3.4" y="6" width="17.2" height="12" rx="1.6"/><circle cx="12" cy="12" r="2.6"/>'
    '<path d="M6.4 9v6M17.6 9v6"/>',
    "filter": '<path d="M4 5.6h16l-6.2 7.2v5.2l-3.6 1.8v-7Z"/>',
    "goodwill": '<path d="M12 19.4C6 15.4 3.8 12.4 3.8 9.4a4.1 4.1 0 0 1 8.2-1'
    ' 4.1 4.1 0 0 1 8.2 1c0 3-2.2 6-8.2 10Z"/>',
    "fan": '<circle cx="12" cy="12" r="8.5"/><path d="M8.5 4.3 20.1 9.6M8.5 19.7 20.1 14.4"/>',
}
PATHS["evening"] = PATHS["moon"] = PATHS["tonight"]
PATHS["person"] = '<circle cx="12" cy="8" r="3.6"/><path d="M5 20c.6-4.6 3.2-6.6 7-6.6s6.4 2 7 6.6"/>'
PATHS["pdf"] = PATHS["paper"]
PATHS["xlsx"] = PATHS["table"]
