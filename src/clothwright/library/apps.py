"""The library as a Django app."""

from django.apps import AppConfig


class LibraryConfig(AppConfig):
    """Models of the library, under the label `library`."""

    name = "clothwright.library"
    label = "library"
    default_auto_field = "django.db.models.BigAutoField"
