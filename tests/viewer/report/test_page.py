"""The written page as text: whole, safe against any name, and asking for nothing."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

import ribway.viewer.report as package
from ribway.models.plan.plan import Plan
from ribway.viewer.report.body import Notice
from ribway.viewer.report.markup import element, json_block, text
from ribway.viewer.report.modules import ModuleFormError, joined
from ribway.viewer.report.page import MARK, page_text, plan_key

FOLDER = Path(package.__path__[0])
NASTY = '</script><img src=x onerror="window.harmed=1"> & "quoted" <!--'


class Reader(HTMLParser):
    """Collects tags with their attributes, and the text of scripts and styles."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.inside: dict[str, list[str]] = {"script": [], "style": []}
        self.now = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag in self.inside:
            self.now = tag
            self.inside[tag].append("")

    def handle_endtag(self, tag: str) -> None:
        self.now = "" if tag == self.now else self.now

    def handle_data(self, data: str) -> None:
        if self.now:
            self.inside[self.now][-1] += data


def read(page: str) -> Reader:
    reader = Reader()
    reader.feed(page)
    reader.close()
    return reader


def renamed(plan: Plan, name: str) -> Plan:
    first = plan.devices[0].model_copy(update={"name": name})
    return plan.model_copy(update={"name": name, "devices": (first, *plan.devices[1:]), "revision": name})


def test_the_same_plan_gives_the_same_page(sample_plan: Plan) -> None:
    first = page_text([sample_plan], {0: [Notice("Head.", "Text.")]})
    assert first == page_text([sample_plan], {0: [Notice("Head.", "Text.")]})
    assert first.startswith(f"<!doctype html>\n{MARK}\n")
    assert "<b>Head.</b> Text." in first
    assert len(first.encode("utf-8")) < 5_000_000


def test_nothing_in_it_leads_out(sample_plan: Plan) -> None:
    reader = read(page_text([sample_plan], {}))
    leading = {"href", "src", "srcset", "action", "poster", "data", "background"}
    found = [(tag, key, value) for tag, attrs in reader.tags for key, value in attrs.items() if key in leading]
    assert found == [("a", "href", "#tables")]
    assert "@import" not in reader.inside["style"][0]
    assert "url(" not in reader.inside["style"][0]


def test_the_policy_lets_only_this_script_and_this_style_run(sample_plan: Plan) -> None:
    page = page_text([sample_plan], {})
    reader = read(page)
    policy = next(attrs["content"] for tag, attrs in reader.tags if attrs.get("http-equiv"))
    assert policy is not None
    assert policy.startswith("default-src 'none';")
    assert "unsafe" not in policy
    # Content Security Policy Level 3, 2.3.1: the hash is that of the element's text, base64 of SHA-256.
    allowed = set(re.findall(r"'sha256-([^']+)'", policy))
    data, script = reader.inside["script"]
    own = {
        base64.b64encode(hashlib.sha256(one.encode("utf-8")).digest()).decode("ascii")
        for one in (script, *reader.inside["style"])
    }
    assert allowed == own
    assert json.loads(data)["plans"][0]["name"] == sample_plan.name


def test_a_name_can_break_out_of_nothing(sample_plan: Plan) -> None:
    plain, nasty = read(page_text([sample_plan], {})), read(page_text([renamed(sample_plan, NASTY)], {}))
    assert [tag for tag, _ in nasty.tags] == [tag for tag, _ in plain.tags]
    assert not any(key.startswith("on") for _, attrs in nasty.tags for key in attrs)
    assert json.loads(nasty.inside["script"][0])["plans"][0]["name"] == NASTY


def test_text_and_attributes_are_escaped() -> None:
    assert text('a <b>\n"c"') == "a &lt;b&gt;<br>&quot;c&quot;"
    assert element("p", "x", class_="a", data_name='"<', hidden=True, open=False) == (
        '<p class="a" data-name="&quot;&lt;" hidden>x</p>'
    )
    written = json_block({"a": "</script><!-- &\u2028"})
    assert not set("<>&\u2028") & set(written)
    assert json.loads(written) == {"a": "</script><!-- &\u2028"}


def test_a_key_changes_with_the_plan_but_not_with_its_metal(sample_plan: Plan) -> None:
    run = sample_plan.runs[0].model_copy(update={"cut_m": sample_plan.runs[0].cut_m + 0.01})
    changed = sample_plan.model_copy(update={"runs": (run, *sample_plan.runs[1:])})
    assert plan_key(sample_plan) != plan_key(changed)
    assert plan_key(sample_plan) == plan_key(sample_plan.model_copy(update={"parts": ()}))


def test_a_page_needs_a_plan() -> None:
    with pytest.raises(ValueError, match="at least one plan"):
        page_text([], {})


def test_modules_are_joined_in_the_order_of_their_imports() -> None:
    modules = {
        "main.js": 'import { one as first, two } from "./low.js";\nuse(first, two);\n',
        "low.js": "const a = 1;\nexport const two = 2;\nexport{a as one};\n",
    }
    script = joined(modules, "main.js")
    assert script.index('modules["low.js"] = sources') < script.index('modules["main.js"] = sources')
    assert 'const { one: first, two } = modules["low.js"];' in script
    assert "return { one: a, two: two };" in script
    assert not re.search(r"^\s*(import|export) ", script, re.MULTILINE)


@pytest.mark.parametrize(
    ("modules", "said"),
    [
        ({"a.js": 'import { b } from "./b.js";'}, "a.js needs the script b.js"),
        ({}, "the page needs the script a.js"),
        ({"a.js": 'import { b } from "./b.js";', "b.js": 'import { a } from "./a.js";'}, "a.js -> b.js -> a.js"),
        ({"a.js": "export default 3;"}, "a.js: cannot be joined: export default 3;"),
        ({"a.js": 'import * as all from "./b.js";'}, "a.js: cannot be joined"),
    ],
)
def test_modules_that_cannot_be_joined_are_refused(modules: dict[str, str], said: str) -> None:
    with pytest.raises(ModuleFormError, match=re.escape(said)):
        joined(modules, "a.js")


def test_the_script_of_others_is_the_one_that_is_described_and_comes_with_its_licence() -> None:
    origin = (FOLDER / "vendor" / "origin.txt").read_text(encoding="utf-8")
    source = (FOLDER / "vendor" / "three.js").read_bytes()
    assert hashlib.sha256(source).hexdigest() in origin
    licence = (FOLDER / "vendor" / "three-licence.txt").read_text(encoding="utf-8")
    assert licence.startswith("The MIT License")


def test_the_page_carries_the_licence_of_what_it_carries(sample_plan: Plan) -> None:
    licence = (FOLDER / "vendor" / "three-licence.txt").read_text(encoding="utf-8")
    assert licence.strip() in page_text([sample_plan], {})
