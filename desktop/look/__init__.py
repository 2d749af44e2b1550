"""The look: tokens, fonts, theme, stylesheet and icons; the only place where a colour or a size is written.

    tokens.py   Tokens (frozen), LIGHT, DARK; .space, .radius, .type_size, .row_height, ...
    fonts.py    font(role): body, strong, small, small_strong, section, title, figure (tabular figures)
    theme.py    apply_theme(app, choice), current_tokens(), theme_changed
    icons.py    icon(name, size, tone), paint_icon(painter, rect, name, colour), names()
"""
