"""A link for buyers shows a version of the leaflet that was given out."""

from django.db import migrations, models


class Migration(migrations.Migration):
    """Links made before show the version given out last."""

    dependencies = [("library", "0009_examples")]

    operations = [
        migrations.AddField(
            "leafletlink", "version", models.CharField(blank=True, default="", max_length=20), preserve_default=False
        ),
    ]
