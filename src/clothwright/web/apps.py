"""The web door as a Django app."""

from django.apps import AppConfig


class WebConfig(AppConfig):
    """Pages, templates and static files, under the label `web`."""

    name = "clothwright.web"
    label = "web"
