"""Task tables as comma-separated files: the same plan as in YAML, and every fault at its line of the table."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from cases import lines_of, written
from hypothesis import given, settings
from hypothesis import strategies as st

from sitesim.plan import digest_of
from sitesim.scenario import load
from sitesim.scenario.document import Document
from sitesim.scenario.reading import plain, read_yaml
from sitesim.scenario.task_tables import take_in_tables

HEAD = """
name: Rows
site:
  start: 2027-03-01
  buildings:
    A: {homes: [A1, A2], slab: 2027-03-08}
crews: {roof: {}, hands: {size: 2}, foreman: {}}
inspections:
  inspectors: {building: {notice: 1}}
"""

IN_YAML = """
finishing:
  tasks:
    roof: {per: building, crew: roof, crane: true, split: false, time: [1, 1.5, 2.5], milestone: dry-in}
    windows: {crew: hands, time: 0.7, delivery: {name: frames, ordered_after: [slab, roof], lead: [8, 12, 20]}}
    boards: {crew: [hands, foreman], time: 12 h}
    paint: {crew: hands, time: {p50: 8 h, p90: 12 h}}
  sequences:
    usual: {roof: [slab], windows: [roof], boards: [roof + 24 h, windows], paint: [boards + 3 d drying]}
"""
POINTS_IN_YAML = "  points: {roof: {by: building, fails: 15 %, rework: [0.25, 0.5, 1]}}\n"

TASKS = """\
# The tasks of the site, one a line.

task,per,crew,crane,split,time,time.p50,time.p90,milestone,delivery.name,delivery.ordered_after,delivery.lead,# source
roof,building,roof,TRUE,false,1; 1.5; 2.5,,,dry-in,,,,assumed
windows,,hands,,,0.7,,,,frames,slab; roof,"[8, 12, 20]","measured, after printing"
,,,,,,,,,,,,
boards,,hands;foreman,,,12 h
paint,home,hands,,,,8 h,12 h
"""
USUAL = """\
task,after
roof,slab
windows,roof
boards,roof + 24 h; windows
paint,boards + 3 d drying
"""
POINTS = "task,by,fails,rework\nroof,building,15 %,0.25; 0.5; 1\n"
IN_TABLES = "finishing: {tasks: tasks.csv, sequences: {usual: usual.csv}}\n"


def with_tables(folder: Path, tasks: str = TASKS, usual: str = USUAL, more: str = "") -> Path:
    written(folder, tasks, "tasks.csv")
    written(folder, usual, "usual.csv")
    return written(folder, HEAD + IN_TABLES + more)


def test_tables_give_the_plan_that_the_same_tasks_in_yaml_give(tmp_path: Path) -> None:
    tabled = load(with_tables(tmp_path))
    plain_one = load(written(tmp_path, HEAD + IN_YAML, "plain.yaml"))
    assert digest_of(tabled.plan()) == digest_of(plain_one.plan())
    assert tabled.resolved["finishing"]["sequences"] == plain_one.resolved["finishing"]["sequences"]


def test_inspection_points_may_stand_in_a_table(tmp_path: Path) -> None:
    written(tmp_path, POINTS, "points.csv")
    tabled = load(written(tmp_path, HEAD + "  points: points.csv\n" + IN_YAML))
    plain_one = load(written(tmp_path, HEAD + POINTS_IN_YAML + IN_YAML, "plain.yaml"))
    assert tabled.resolved == plain_one.resolved
    assert tabled.digest == plain_one.digest


def test_one_table_may_say_what_tasks_are_and_what_they_wait_for(tmp_path: Path) -> None:
    written(tmp_path, "task,crew,time,after\nroof,roof;foreman,2,slab\nboards,hands,3,roof; slab + 2 d\n", "all.csv")
    text = HEAD + "finishing: {tasks: all.csv, sequences: {usual: all.csv}}\n"
    finishing = load(written(tmp_path, text)).resolved["finishing"]
    assert finishing == {
        "tasks": {"roof": {"crew": ["roof", "foreman"], "time": 2}, "boards": {"crew": "hands", "time": 3}},
        "sequences": {"usual": {"roof": ["slab"], "boards": ["roof", "slab + 2 d"]}},
    }


def test_what_a_run_keeps_needs_no_table(tmp_path: Path) -> None:
    scenario = load(with_tables(tmp_path))
    assert scenario.data_files() == {}
    elsewhere = tmp_path / "kept"
    elsewhere.mkdir()
    again = load(written(elsewhere, scenario.resolved_yaml()))
    assert again.digest == scenario.digest
    assert digest_of(again.plan()) == digest_of(scenario.plan())


def test_a_byte_order_mark_and_line_ends_of_a_spreadsheet_change_nothing(tmp_path: Path) -> None:
    usual = load(with_tables(tmp_path)).digest
    (tmp_path / "tasks.csv").write_bytes(b"\xef\xbb\xbf" + TASKS.replace("\n", "\r\n").encode())
    assert load(tmp_path / "site.yaml").digest == usual


def test_a_variant_lies_over_the_rows_of_the_table_that_it_extends(tmp_path: Path) -> None:
    with_tables(tmp_path)
    (tmp_path / "faster").mkdir()
    written(tmp_path / "faster", "task,time\nroof,1\n", "rows.csv")
    over = "extends: ../site.yaml\nfinishing: {tasks: rows.csv, sequences: {usual: {paint: [boards]}}}\n"
    tasks = load(written(tmp_path / "faster", over, "variant.yaml")).resolved["finishing"]
    assert tasks["tasks"]["roof"] == {
        "per": "building",
        "crew": "roof",
        "crane": True,
        "split": False,
        "time": 1,
        "milestone": "dry-in",
    }
    assert list(tasks["tasks"]) == ["roof", "windows", "boards", "paint"]
    assert (tasks["sequences"]["usual"]["paint"], tasks["sequences"]["usual"]["roof"]) == (["boards"], ["slab"])


def test_a_setting_changes_one_value_of_a_row_or_names_another_table(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = with_tables(tmp_path)
    changed = load(path, ["finishing.tasks.windows.delivery.lead=30"]).resolved["finishing"]["tasks"]["windows"]
    assert changed["delivery"] == {"name": "frames", "ordered_after": ["slab", "roof"], "lead": 30}
    assert changed["crew"] == "hands"
    (tmp_path / "here").mkdir()
    written(tmp_path / "here", "task,after\nroof,slab\nwindows,roof\nboards,windows\npaint,boards\n", "other.csv")
    monkeypatch.chdir(tmp_path / "here")  # a path on the command line starts from where the command is given
    other = load(path, ["finishing.sequences.usual=other.csv"]).resolved["finishing"]["sequences"]
    assert other == {"usual": {"roof": ["slab"], "windows": ["roof"], "boards": ["windows"], "paint": ["boards"]}}


def test_times_of_ones_own_are_found_from_the_folder_of_the_table(tmp_path: Path) -> None:
    (tmp_path / "tables").mkdir()
    written(tmp_path / "tables", "1 h\n2 h\n3 h\n", "times.csv")
    written(tmp_path / "tables", "task,crew,time.observed\nroof,roof;foreman;hands,times.csv\n", "tasks.csv")
    text = HEAD + "finishing: {tasks: tables/tasks.csv, sequences: {usual: {roof: [slab]}}}\n"
    scenario = load(written(tmp_path, text))
    assert scenario.resolved["finishing"]["tasks"]["roof"]["time"] == {"observed": "times.csv"}
    assert scenario.data_files() == {"times.csv": tmp_path / "tables" / "times.csv"}


WRONG_CELLS = [
    ("roof,building,roof", "roof,bilding,roof", "tasks.csv:4  finishing.tasks.roof.per: bilding should be home"),
    ("1; 1.5; 2.5", "1; 1.5", "tasks.csv:4  finishing.tasks.roof.time: should be three values, low; likely; high"),
    ("1; 1.5; 2.5", '"3, 4, 6"', "'3, 4, 6' is not a length of time; write it like 1.5; 2; 3.5"),
    ("1; 1.5; 2.5", "", "tasks.csv:4  finishing.tasks.roof.time: is missing"),
    (",0.7,", ",soon,", "tasks.csv:5  finishing.tasks.windows.time: "),
    (",slab; roof,", ",slap,", "tasks.csv:5  finishing.tasks.windows.delivery.ordered_after: slap is not in"),
    ("boards,,hands;foreman", "boards,,hand;foreman", "tasks.csv:7  finishing.tasks.boards.crew: "),
    ("task,per,crew,", "task,per,crw,", "tasks.csv:3  finishing.tasks.crw: there is no column crw: did you mean crew?"),
    (
        "task,per,crew,",
        "task,per,waits,",
        "finishing.tasks.waits: there is no column waits: known are task, time, crew",
    ),
    ("delivery.lead", "delivery.leed", "tasks.csv:3  finishing.tasks.delivery.leed: there is no column delivery.leed"),
    (
        "task,per,",
        "name,per,",
        "tasks.csv:3  finishing.tasks: there is no column task, which names the task of each row",
    ),
    ("task,per,", "tasks,per,", "which names the task of each row; is it tasks?"),
    ("milestone", "crew", "tasks.csv:3  finishing.tasks: the column crew stands here twice"),
    ("12 h\npaint", "12 h\nroof,,,,,1\npaint", "tasks.csv:8  finishing.tasks.roof: roof stands in line 4 already"),
    ("boards,,", ",,", "tasks.csv:7  finishing.tasks: names no task in the column task"),
    (",,,8 h", ",,5 h,8 h", "tasks.csv:8  finishing.tasks.paint.time: has both time and time.p50; one of them is"),
    ('"[8, 12, 20]"', "[8, 12, 20]", "tasks.csv:5  finishing.tasks: has 15 cells, the table has 13 columns"),
    (
        '"[8, 12, 20]"',
        '"[8, 12, 20"',
        "tasks.csv:5  finishing.tasks.windows.delivery.lead: '[8, 12, 20' is not a value",
    ),
    (
        '"measured, after printing"',
        '"measured',
        "tasks.csv:5  finishing.tasks: has a quotation mark that is not closed",
    ),
]


@pytest.mark.parametrize(("before", "after", "fault"), WRONG_CELLS)
def test_a_wrong_cell_is_told_with_the_line_of_the_table(tmp_path: Path, before: str, after: str, fault: str) -> None:
    assert TASKS.count(before) == 1
    lines = lines_of(with_tables(tmp_path, TASKS.replace(before, after)))
    assert any(fault in line for line in lines), lines
    assert all(line.startswith("tasks.csv:") for line in lines), lines


@pytest.mark.parametrize(
    ("before", "after", "fault"),
    [
        ("task,time,after", "task,time,after,waits", "1  waits: there is no column waits: known are task, time, crew"),
        ("b,1,a", "b,1,a\nb,1,a", "4  b: b stands in line 3 already"),
        ("b,1,a", "b,1,a,7", "3  has 4 cells, the table has 3 columns"),
        ("b,1,a", ",1,a", "3  names no task in the column task"),
        ("task,", "name,", "1  there is no column task, which names the task of each row"),
    ],
)
def test_a_fault_of_a_table_of_tasks_and_sequence_is_told_once(
    tmp_path: Path, before: str, after: str, fault: str
) -> None:
    written(tmp_path, "task,time,after\na,1,slab\nb,1,a\n".replace(before, after), "both.csv")
    path = written(tmp_path, HEAD + "finishing: {tasks: both.csv, sequences: {usual: both.csv}}\n")
    line, _, message = fault.partition("  ")
    (told,) = [line for line in lines_of(path) if line.startswith("both.csv")]
    told = told.replace("finishing.tasks.", "").replace("finishing.tasks: ", "")
    assert told.startswith(f"both.csv:{line}  {message}")


def test_a_column_that_every_task_needs_is_missed_once(tmp_path: Path) -> None:
    lines = lines_of(with_tables(tmp_path, "# tasks\ntask,crew\nroof,roof\nwindows,hands\nboards,hands\npaint,hands\n"))
    assert len(lines) == 1
    assert lines[0].startswith("tasks.csv:2  finishing.tasks.roof.time: is missing")


@pytest.mark.parametrize(
    ("usual", "fault"),
    [
        (
            USUAL.replace("paint,boards", "pant,boards"),
            "5  pant: there is no task pant in finishing.tasks: did you mean",
        ),
        (USUAL.replace("roof,slab", "roof,slap"), "2  roof: waits for slap, which is not known: did you mean slab?"),
        (USUAL.replace("roof,slab", "roof,paint"), "2  roof: waits for itself: roof -> paint -> boards -> windows"),
        (USUAL.replace("24 h", "24"), "4  boards.0: the lag in roof + 24 has no unit; write + 24 h, + 3 d or + 5 wd"),
        (USUAL.replace("+ 24 h", "- 24 h"), "4  boards.0: roof - 24 h: nothing begins before what it waits for has"),
        (USUAL.replace("task,after", "task,afer"), "1  there is no column after, which says what each task waits for"),
        (USUAL.replace("task,after", "task,after,crow"), "1  crow: there is no column crow: known are task, after"),
        (USUAL.replace(",", ";"), "1  its columns are set apart by ;, they should be set apart by commas"),
        ("# nothing\n", "1  has no line of column names, such as task,after"),
    ],
)
def test_a_wrong_sequence_is_told_with_the_line_of_its_table(tmp_path: Path, usual: str, fault: str) -> None:
    line, _, message = fault.partition("  ")
    lines = lines_of(with_tables(tmp_path, usual=usual))
    told = lines[0].replace("finishing.sequences.usual.", "").replace("finishing.sequences.usual: ", "")
    assert told.startswith(f"usual.csv:{line}  {message}"), lines


def test_a_table_that_is_not_there_is_a_fault_where_it_is_named(tmp_path: Path) -> None:
    path = with_tables(tmp_path)
    (tmp_path / "tasks.csv").unlink()
    assert lines_of(path) == [
        f"site.yaml:10  finishing.tasks: there is no file {tmp_path / 'tasks.csv'}".replace(f"{tmp_path}/", "")
    ]


def test_a_table_in_another_encoding_is_refused(tmp_path: Path) -> None:
    path = with_tables(tmp_path)
    (tmp_path / "tasks.csv").write_bytes(TASKS.replace("assumed", "geschätzt").encode("cp1252"))
    assert lines_of(path) == ["tasks.csv  finishing.tasks: is not text in UTF-8; a spreadsheet saves it as CSV UTF-8"]


def test_faults_of_tables_come_with_all_others(tmp_path: Path) -> None:
    path = with_tables(tmp_path, TASKS.replace("task,per,", "task,pr,"), USUAL.replace("24 h", "24"), "promis: 1\n")
    files = {line.split(":")[0] for line in lines_of(path)}
    assert files == {"tasks.csv", "usual.csv", "site.yaml"}


CELLS = st.one_of(
    st.integers(-99, 99),
    st.floats(-1e6, 1e6, allow_nan=False).map(lambda value: round(value, 4)),
    st.booleans(),
    st.from_regex(r"[a-z][a-z0-9 ,\"'%/^+.]{0,12}[a-z0-9]", fullmatch=True),
)


@given(st.lists(CELLS, min_size=1, max_size=4))
@settings(max_examples=60, deadline=None)
def test_a_cell_is_read_as_the_same_value_in_yaml(
    tmp_path_factory: pytest.TempPathFactory, values: list[object]
) -> None:
    """What a cell says is what the same scalar says in YAML, alone or among several, whatever quoting it needs."""
    folder = tmp_path_factory.mktemp("cells")
    shown = [str(value).lower() if isinstance(value, bool) else str(value) for value in values]
    text = io.StringIO()
    rows = csv.writer(text)
    rows.writerows([["task", "milestone", "crew"], ["one", shown[0], " ; ".join(shown)]])
    written(folder, text.getvalue(), "tasks.csv")
    document = Document("x", {"finishing": {"tasks": "tasks.csv"}}, folders={"x": folder})
    assert take_in_tables(document) == []
    row = document.data["finishing"]["tasks"]["one"]
    plainly = [
        value if isinstance(value, str) else plain(read_yaml(word)) for value, word in zip(values, shown, strict=True)
    ]
    assert row["milestone"] == plainly[0]
    assert row["crew"] == (plainly if len(values) > 1 else plainly[0])
    assert document.place(("finishing", "tasks", "one", "crew")).line == 2
