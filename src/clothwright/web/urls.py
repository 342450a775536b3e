"""The addresses of the pages."""

from django.urls import URLPattern, path, register_converter

from clothwright.web import (
    behind,
    colours,
    drawing_by_hand,
    fit,
    lay_by_hand,
    measured,
    narrow,
    on_hand,
    patterns,
    reckoners,
    sampled,
    sampling,
    true,
    views,
)

register_converter(on_hand.ShelfConverter, "shelf")
register_converter(on_hand.SampleShelfConverter, "samples")

urlpatterns: list[URLPattern] = [
    path("", views.projects, name="projects"),
    path("new/", views.new_project, name="new"),
    path("open/", views.open_file, name="open"),
    path("yarn/import/", on_hand.import_yarn, name="import_yarn"),
    path("yarn/yarn-on-hand.csv", on_hand.export_yarn, name="export_yarn"),
    path("yarn/yarn-example.csv", on_hand.example_yarn, name="example_yarn"),
    path("<shelf:kind>/", on_hand.shelf, name="shelf"),
    path("<shelf:kind>/new/", on_hand.new, name="new_thing"),
    path("<shelf:kind>/<uuid:key>/", on_hand.thing, name="thing"),
    path("<shelf:kind>/<uuid:key>/history/", on_hand.history, name="thing_history"),
    path("<shelf:kind>/<uuid:key>/history/<int:number>/", on_hand.go_to, name="thing_state"),
    path("<samples:kind>/<uuid:key>/photo/", on_hand.add_photo, name="add_photo"),
    path("<samples:kind>/<uuid:key>/photo/<int:number>.jpg", on_hand.thing_photo, name="thing_photo"),
    path("<samples:kind>/<uuid:key>/outline/", on_hand.read_outline, name="read_outline"),
    path("<shelf:kind>/<uuid:key>/put-away/", on_hand.put_away, name="put_thing_away"),
    path("<shelf:kind>/<uuid:key>/bring-back/", on_hand.bring_back, name="bring_thing_back"),
    path("sett/", reckoners.setts, name="setts"),
    path("yarn-numbers/", reckoners.yarn_numbers, name="yarn_numbers"),
    path("project/<uuid:key>/", views.project, name="project"),
    path("project/<uuid:key>/card/", views.card, name="card"),
    path("project/<uuid:key>/sample-first/", sampling.sample_page, name="sample_first"),
    path("project/<uuid:key>/drawing/", views.drawing, name="drawing"),
    path("project/<uuid:key>/measures/", measured.page, name="measures"),
    path("project/<uuid:key>/pieces/", patterns.pieces, name="pieces"),
    path("project/<uuid:key>/pieces.pdf", patterns.pieces_sheet, name="pieces_sheet"),
    path("project/<uuid:key>/narrow-cloth/", narrow.page, name="narrow"),
    path("project/<uuid:key>/lay-by-hand/", lay_by_hand.page, name="lay_by_hand"),
    path("project/<uuid:key>/colours/", colours.page, name="colours"),
    path("project/<uuid:key>/colours/<str:kind>.pdf", colours.sheet, name="colour_sheet"),
    path("project/<uuid:key>/pieces/mend/", patterns.mend, name="mend"),
    path("project/<uuid:key>/draw/", drawing_by_hand.draw, name="draw"),
    path("project/<uuid:key>/fit/", fit.fit, name="fit"),
    path("project/<uuid:key>/fit/mark/", fit.mark, name="mark_change"),
    path("project/<uuid:key>/trace/", patterns.traced, name="trace"),
    path("project/<uuid:key>/undo/", views.undo, name="undo"),
    path("project/<uuid:key>/redo/", views.redo, name="redo"),
    path("project/<uuid:key>/history/", views.history, name="history"),
    path("project/<uuid:key>/history/<int:number>/", views.go_to, name="go_to"),
    path("project/<uuid:key>/put-away/", views.put_away, name="put_away"),
    path("project/<uuid:key>/bring-back/", views.bring_back, name="bring_back"),
    path("project/<uuid:key>/search/", views.search, name="search"),
    path("project/<uuid:key>/search/stop/", views.stop_search, name="stop_search"),
    path("project/<uuid:key>/evidence/", behind.page, name="evidence"),
    path("project/<uuid:key>/evidence/behind/", behind.fragment, name="behind"),
    path("project/<uuid:key>/evidence/mark/", behind.mark, name="mark_evidence"),
    path("project/<uuid:key>/came/", true.beside, name="came"),
    path("trueness/", true.page, name="true"),
    path("project/<uuid:key>/sheet.pdf", views.sheet, name="sheet"),
    path("project/<uuid:key>/cutting.pdf", views.cutting_sheet, name="cutting_sheet"),
    path("project/<uuid:key>/samples/", sampled.samples, name="samples_told"),
    path("project/<uuid:key>/sample-card.pdf", sampled.sample_card, name="sample_card"),
    path("project/<uuid:key>/sett-comparison.pdf", sampled.sett_comparison, name="sett_comparison"),
    path("project/<uuid:key>/project.toml", views.project_file, name="project_file"),
    path("project/<uuid:key>/project.zip", views.bundle, name="bundle"),
]

handler400 = "clothwright.web.views.too_much"
handler404 = "clothwright.web.views.not_found"
handler500 = "clothwright.web.views.our_fault"
