"""What a second process that helps with a plan loads; it begins before the plan's own modules are loaded."""

LIBRARIES = (
    "foamwright.blank.blank",
    "foamwright.papers.templates",
    "foamwright.papers.plan_shapes",
    "reportlab.pdfgen.canvas",
    "ezdxf",
    "fontTools.subset",
    "foamwright.papers.after_sheet",
    "foamwright.jobs.finish",
)
