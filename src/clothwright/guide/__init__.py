"""The guide: the texts of `docs/`, in the order of the work, as pages and as sections to be searched."""

from clothwright.guide.chapters import FOR_WORKERS, Chapter, by_slug, chapters, parts
from clothwright.guide.rendering import Addresses, Heading, Section, headings_of, html_of, sections_of
from clothwright.guide.texts import root_of_texts, text_of

__all__ = [
    "FOR_WORKERS",
    "Addresses",
    "Chapter",
    "Heading",
    "Section",
    "by_slug",
    "chapters",
    "headings_of",
    "html_of",
    "parts",
    "root_of_texts",
    "sections_of",
    "text_of",
]
