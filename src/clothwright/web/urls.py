"""The addresses of the pages. A page's module is loaded when it is first asked for, or by who serves them, a while after the start."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from threading import RLock
from types import ModuleType
from typing import ClassVar

from django.http import HttpRequest, HttpResponse
from django.urls import URLPattern, path, register_converter

from clothwright.web.shelves.shelf_address import SampleShelfConverter, ShelfConverter


class _Pages:
    """The pages of a module, which is loaded when one of them is first asked for; one module at a time, by whichever thread."""

    _every: ClassVar[list[_Pages]] = []
    _loading: ClassVar = RLock()

    def __init__(self, module: str) -> None:
        self._module = module
        self._loaded: ModuleType | None = None
        self._every.append(self)

    def __getattr__(self, name: str) -> Callable[..., HttpResponse]:
        def page(request: HttpRequest, *parts: object, **named: object) -> HttpResponse:
            answer: HttpResponse = getattr(self.load(), name)(request, *parts, **named)
            return answer

        return page

    def load(self) -> ModuleType:
        """The module."""
        if self._loaded is None:
            with self._loading:
                self._loaded = import_module(self._module)
        return self._loaded

    @classmethod
    def load_all(cls) -> None:
        """Load every page."""
        for pages in cls._every:
            pages.load()


load_all = _Pages.load_all

accounts = _Pages("clothwright.web.studio.accounts")
at_loom = _Pages("clothwright.web.loom.at_loom")
begin = _Pages("clothwright.web.beginning.begin")
behind = _Pages("clothwright.web.measuring.behind")
bringing_in_mine = _Pages("clothwright.web.studio.bringing_in_mine")
buyers = _Pages("clothwright.web.teaching.buyers")
choosing = _Pages("clothwright.web.pieces.choosing")
classes = _Pages("clothwright.web.teaching.classes")
cloth_picture = _Pages("clothwright.web.cloth.cloth_picture")
colour_pages = _Pages("clothwright.web.colours.colour_pages")
drawing_by_hand = _Pages("clothwright.web.pattern.drawing_by_hand")
examples = _Pages("clothwright.web.beginning.examples")
finding_page = _Pages("clothwright.web.finding.page")
fit = _Pages("clothwright.web.pattern.fit")
groups = _Pages("clothwright.web.studio.groups")
health = _Pages("clothwright.web.mishaps.health")
helping_pages = _Pages("clothwright.web.helping.pages")
in_hand = _Pages("clothwright.web.pieces.in_hand")
keeping = _Pages("clothwright.web.keeping")
lay_by_hand = _Pages("clothwright.web.pieces.lay_by_hand")
leaflet_by_link = _Pages("clothwright.web.teaching.leaflet_by_link")
leaflet_tests = _Pages("clothwright.web.teaching.leaflet_tests")
leaflets = _Pages("clothwright.web.teaching.leaflets")
measured = _Pages("clothwright.web.pattern.measured")
narrow = _Pages("clothwright.web.pieces.narrow")
off_loom = _Pages("clothwright.web.loom.off_loom")
on_hand = _Pages("clothwright.web.shelves.on_hand")
patterns = _Pages("clothwright.web.pattern.patterns")
phone_pages = _Pages("clothwright.web.phone.phone_pages")
phone_word = _Pages("clothwright.web.phone.phone_word")
phones = _Pages("clothwright.web.phone.phones")
reckoners = _Pages("clothwright.web.reckoning.reckoners")
record_page = _Pages("clothwright.web.record.record_page")
record_remnant = _Pages("clothwright.web.record.record_remnant")
records = _Pages("clothwright.web.record.records")
sampled = _Pages("clothwright.web.measuring.sampled")
sampling = _Pages("clothwright.web.measuring.sampling")
sharing = _Pages("clothwright.web.studio.sharing")
sheet_pages = _Pages("clothwright.web.sheets.sheet_pages")
sheet_typing = _Pages("clothwright.web.sheets.sheet_typing")
threading = _Pages("clothwright.web.cloth.threading")
true = _Pages("clothwright.web.record.true")
use_again = _Pages("clothwright.web.record.use_again")
views = _Pages("clothwright.web.views")
words = _Pages("clothwright.web.words")

register_converter(ShelfConverter, "shelf")
register_converter(SampleShelfConverter, "samples")

urlpatterns: list[URLPattern] = [
    path("", views.projects, name="projects"),
    path("begin/", begin.start, name="begin_start"),
    path("project/<uuid:key>/begin/", begin.page, name="begin"),
    path("examples/<slug:page>/", examples.open_example, name="open_example"),
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
    path("words/", words.page, name="words"),
    path("find/", finding_page.page, name="find"),
    path("guide/", helping_pages.contents, name="guide"),
    path("guide/pictures/<str:picture>", helping_pages.picture, name="guide_picture"),
    path("guide/<slug:chapter>/", helping_pages.chapter, name="chapter"),
    path("keeping/", keeping.page, name="keeping"),
    path("keeping/copy-now/", keeping.copy_now, name="copy_now"),
    path("keeping/copies/<str:name>/", keeping.copy, name="copy"),
    path("keeping/copies/<str:name>/file.zip", keeping.copy_file, name="copy_file"),
    path("keeping/everything.zip", keeping.everything, name="everything"),
    path("keeping/send/", keeping.send, name="send"),
    path("keeping/sent/<str:token>/", keeping.sent, name="waiting"),
    path("keeping/put-away-again/", keeping.put_away_again, name="put_away_again"),
    path("health/", health.page, name="health"),
    path("sett/", reckoners.setts, name="setts"),
    path("yarn-numbers/", reckoners.yarn_numbers, name="yarn_numbers"),
    path("project/<uuid:key>/", views.project, name="project"),
    path("project/<uuid:key>/card/", views.card, name="card"),
    path("project/<uuid:key>/sample-first/", sampling.sample_page, name="sample_first"),
    path("project/<uuid:key>/drawing/", views.drawing, name="drawing"),
    path("project/<uuid:key>/measures/", measured.page, name="measures"),
    path("project/<uuid:key>/pieces/", patterns.pieces, name="pieces"),
    path("project/<uuid:key>/narrow-cloth/", narrow.page, name="narrow"),
    path("project/<uuid:key>/lay-by-hand/", lay_by_hand.page, name="lay_by_hand"),
    path("project/<uuid:key>/colours/", colour_pages.page, name="colours"),
    path("project/<uuid:key>/colours/weft/", colour_pages.weft_page, name="weft_colours"),
    path("sheets/", sheet_pages.all_sheets, name="all_sheets"),
    path("sheets/<slug:kind>.pdf", sheet_pages.blank_sheet, name="blank_sheet"),
    path("sheets/<slug:kind>.png", sheet_pages.blank_preview, name="blank_preview"),
    path("project/<uuid:key>/sheets/", sheet_pages.picker, name="sheets"),
    path("project/<uuid:key>/sheets/<slug:kind>.pdf", sheet_pages.sheet, name="sheet"),
    path("project/<uuid:key>/sheets/<slug:kind>.png", sheet_pages.sheet_preview, name="sheet_preview"),
    path("project/<uuid:key>/sheets/<slug:kind>/type/", sheet_typing.page, name="type_sheet"),
    path("project/<uuid:key>/sheets/<slug:kind>/photo.jpg", sheet_typing.photo, name="typed_photo"),
    path("project/<uuid:key>/cloth/", cloth_picture.page, name="cloth"),
    path("project/<uuid:key>/cloth/picture.png", cloth_picture.image, name="cloth_image"),
    path("project/<uuid:key>/leaflet/", leaflets.page, name="leaflet"),
    path("project/<uuid:key>/leaflet/work-out/", leaflets.work_out, name="leaflet_work_out"),
    path("project/<uuid:key>/leaflet/publish/", leaflets.publish, name="leaflet_publish"),
    path("project/<uuid:key>/leaflet/published/<str:version>.pdf", leaflets.published_sheet, name="published_leaflet"),
    path("project/<uuid:key>/leaflet/published/<str:version>.html", buyers.file, name="published_buyers_file"),
    path("project/<uuid:key>/leaflet/buyers/", buyers.page, name="buyers"),
    path("project/<uuid:key>/leaflet/buyers.html", buyers.file, name="buyers_file"),
    path("project/<uuid:key>/leaflet/test/", leaflet_tests.begin, name="leaflet_test"),
    path("project/<uuid:key>/leaflet/stop/", leaflets.stop, name="leaflet_stop"),
    path("project/<uuid:key>/class/", classes.page, name="class"),
    path("project/<uuid:key>/class/open/", classes.open_list, name="class_open"),
    path("project/<uuid:key>/class/delete/", classes.delete, name="class_delete"),
    path("project/<uuid:key>/class/class.toml", classes.file, name="class_file"),
    path("project/<uuid:key>/class/summary.pdf", classes.summary, name="class_summary"),
    path("project/<uuid:key>/class/sheets.zip", classes.every_sheet, name="class_sheets"),
    path("project/<uuid:key>/class/<int:number>.pdf", classes.student_sheet, name="class_sheet"),
    path("project/<uuid:key>/threading/", threading.page, name="threading"),
    path("project/<uuid:key>/threading/draft.wif", threading.draft_file, name="draft_file"),
    path("project/<uuid:key>/choices/", choosing.page, name="choices"),
    path("project/<uuid:key>/at-the-loom/", at_loom.page, name="at_loom"),
    path("project/<uuid:key>/off-the-loom/", off_loom.page, name="off_loom"),
    path("project/<uuid:key>/cut-from/", in_hand.page, name="cut_from"),
    path("project/<uuid:key>/pieces/mend/", patterns.mend, name="mend"),
    path("project/<uuid:key>/draw/", drawing_by_hand.draw, name="draw"),
    path("project/<uuid:key>/fit/", fit.fit, name="fit"),
    path("project/<uuid:key>/fit/mark/", fit.mark, name="mark_change"),
    path("project/<uuid:key>/trace/", patterns.traced, name="trace"),
    path("project/<uuid:key>/phones/", phones.page, name="phones"),
    path("phone/worker.js", phones.worker, name="phone_worker"),
    path("phone/certificate.crt", phones.certificate, name="phone_certificate"),
    path("phone/enter/", phone_word.enter, name="phone_enter"),
    path("phone/<uuid:key>/board/", phone_pages.page, name="board"),
    path("phone/<uuid:key>/loom/", phone_pages.at_loom, name="loom"),
    path("phone/<uuid:key>/state/", phone_pages.state, name="phone_state"),
    path("phone/<uuid:key>/entries/", phone_pages.entries, name="phone_entries"),
    path("phone/<uuid:key>/take-along.html", phones.saved, name="phone_saved"),
    path("project/<uuid:key>/undo/", views.undo, name="undo"),
    path("project/<uuid:key>/redo/", views.redo, name="redo"),
    path("project/<uuid:key>/history/", views.history, name="history"),
    path("project/<uuid:key>/history/<int:number>/", views.go_to, name="go_to"),
    path("project/<uuid:key>/put-away/", views.put_away, name="put_away"),
    path("project/<uuid:key>/bring-back/", views.bring_back, name="bring_back"),
    path("project/<uuid:key>/plan/", views.plan_alone, name="plan_pane"),
    path("project/<uuid:key>/search/", views.search, name="search"),
    path("project/<uuid:key>/search/stop/", views.stop_search, name="stop_search"),
    path("project/<uuid:key>/evidence/", behind.page, name="evidence"),
    path("project/<uuid:key>/evidence/behind/", behind.fragment, name="behind"),
    path("project/<uuid:key>/evidence/mark/", behind.mark, name="mark_evidence"),
    path("records/", records.page, name="records"),
    path("records/labels.pdf", records.labels, name="labels"),
    path("records/address/", records.address, name="label_address"),
    path("record/<str:number>/", records.by_number, name="by_number"),
    path("project/<uuid:key>/use-again/", use_again.page, name="use_again"),
    path("project/<uuid:key>/record/", record_page.page, name="record"),
    path("project/<uuid:key>/record/later/", record_page.add_later, name="add_later"),
    path("project/<uuid:key>/record/photo/", record_page.add_photo, name="add_record_photo"),
    path("project/<uuid:key>/record/photo/<int:row>/", record_page.photo_words, name="photo_words"),
    path("project/<uuid:key>/photo/<str:sha256>.jpg", record_page.photo, name="project_photo"),
    path("project/<uuid:key>/record/remnant/", record_remnant.measure, name="measure_remnant"),
    path("project/<uuid:key>/came/", true.beside, name="came"),
    path("trueness/", true.page, name="true"),
    path("project/<uuid:key>/samples/", sampled.samples, name="samples_told"),
    path("project/<uuid:key>/project.toml", views.project_file, name="project_file"),
    path("project/<uuid:key>/project.zip", views.bundle, name="bundle"),
    path("sign-in/", accounts.sign_in, name="sign_in"),
    path("sign-out/", accounts.sign_out, name="sign_out"),
    path("forgotten/", accounts.forgotten, name="forgotten"),
    path("new-password/<str:who>/<str:sign>/", accounts.new_password, name="new_password"),
    path("invitation/<str:secret>/", accounts.invitation, name="invitation"),
    path("me/", accounts.me, name="me"),
    path("me/everything.zip", accounts.everything_mine, name="everything_mine"),
    path("me/bring-in/", bringing_in_mine.mine, name="bring_in_mine"),
    path("me/bring-in/<str:token>/", bringing_in_mine.look, name="bring_in_mine_look"),
    path("me/leave/", accounts.leave_studio, name="leave_studio"),
    path("groups/", groups.mine, name="groups"),
    path("groups/new/", groups.make_group, name="make_group"),
    path("groups/<int:group>/", groups.group, name="group"),
    path("groups/<int:group>/leave/", groups.leave_group, name="leave_group"),
    path("groups/<int:group>/invite/", groups.invite_to_group, name="invite_to_group"),
    path("groups/<int:group>/invite/<int:number>/take-back/", groups.take_invitation_back, name="take_invitation_back"),
    path("groups/<int:group>/take-out/<int:number>/", groups.take_out_of_group, name="take_out_of_group"),
    path("members/", groups.all_members, name="members"),
    path("members/invite/", groups.invite_member, name="invite_member"),
    path("members/<int:number>/password-link/", groups.password_link, name="password_link"),
    path("members/<int:number>/keeper/", groups.keep_studio, name="keep_studio"),
    path("project/<uuid:key>/sharing/", sharing.share_project, name="share_project"),
    path("<samples:kind>/<uuid:key>/sharing/", sharing.share_sample, name="share_sample"),
    path("project/<uuid:key>/leaflet-link/", sharing.leaflet_link, name="leaflet_link"),
    path("leaflet/<uuid:link>/", leaflet_by_link.page, name="leaflet_for_buyers"),
    path("leaflet/<uuid:link>.pdf", leaflet_by_link.on_paper, name="open_leaflet"),
    path("leaflet/<uuid:link>.html", leaflet_by_link.file, name="open_buyers_file"),
    path("shared/project/<uuid:key>/", sharing.shared_project, name="shared_project"),
    path("shared/project/<uuid:key>/copy/", sharing.copy_project, name="copy_project"),
    path("shared/<samples:kind>/<uuid:key>/", sharing.shared_sample, name="shared_sample"),
    path("shared/<samples:kind>/<uuid:key>/copy/", sharing.copy_sample, name="copy_sample"),
]

handler400 = "clothwright.web.mishaps.gone_wrong.too_much"
handler404 = "clothwright.web.mishaps.gone_wrong.not_found"
handler500 = "clothwright.web.mishaps.gone_wrong.our_fault"
