"""The page of settings: everything a department may change, by topic."""

from html import escape

from pvcalc.handbook.authoring.entry_tables import settings_table
from pvcalc.handbook.authoring.generated import generated


@generated("settings")
def settings_page(project, page):
    """Every setting a department may change, by topic."""
    topics = {}
    for key, setting in project.data.settings.items():
        topics.setdefault(setting.topic, []).append(key)
    parts = ["<p>These values are the department's. Changing one moves every page that uses it, and the signatures of those "
             "pages lapse. Doses are as reported; the formulary, the pharmacist and the anaesthetist decide.</p>"]
    for topic, keys in topics.items():
        parts.append(f'<h2 id="topic-{escape(topic.replace(" ", "-"))}">{escape(topic.capitalize())}</h2>')
        parts.append(settings_table(project, page, keys, anchors=True))
    return "".join(parts)
