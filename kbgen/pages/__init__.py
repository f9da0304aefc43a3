"""The published site as pages: checked content in, paths and bytes out.

One plain function a page kind builds a frozen view; a template sets it. This is the
only room that uses Jinja. Nothing here touches the disk but to read templates and
photographs.
"""

from kbgen.pages.bodies import body_ahead
from kbgen.pages.environment import packaged_templates
from kbgen.pages.kept_pages import Earlier
from kbgen.pages.rundown import RundownItem, RundownPage, RundownScrew, rundown_page
from kbgen.pages.site import Press, names_ahead, render_site

__all__ = [
    "Earlier",
    "Press",
    "RundownItem",
    "RundownPage",
    "RundownScrew",
    "body_ahead",
    "names_ahead",
    "packaged_templates",
    "render_site",
    "rundown_page",
]
