from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("library", "0010_leaflet_link_version")]

    operations = [
        migrations.AddField("layoutrun", "waits", models.BooleanField(default=False)),
        migrations.AddField("layoutrun", "begun_at", models.DateTimeField(null=True)),
        migrations.AddField("layoutrun", "begun_times", models.PositiveIntegerField(default=0)),
        migrations.AddField("layoutrun", "revision", models.PositiveIntegerField(null=True)),
        migrations.AddField("layoutrun", "ended_at", models.DateTimeField(null=True)),
    ]
