"""The reusable widgets. None of them knows the database; each names itself for assistive technology.

    quoted_actual_bar   QuotedActualBar, QuotedActualDelegate, paint_quoted_actual, common_scale, BAR_ROLE
    waterfall           WaterfallView, WaterfallStep
    table               Column, RowsModel, RowsTable
    form                Form and all fields
    cards               PageHead, Card, Figure, Notice, StatePill, Toast, SearchBox, buttons, layouts, ...
    palette_dialog      FindAnything, Hit
    pdf_view            PaperView
"""
