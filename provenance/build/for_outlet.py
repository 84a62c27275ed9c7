"""All that an outlet needs in one go: papers, tags, for a gallery its certificates.

In: the border and the outlet's name. Out: files in papers/OUTLET/, prices noted in printed.yaml,
and lines that tell it. Everything is made before anything is written.
"""

from collections.abc import Callable
from pathlib import Path

from provenance.build.certificates import issue_certificates, not_issued
from provenance.build.outlets import OutletPapers, outlet_papers
from provenance.build.tags import TagRun, Wishes, print_tags
from provenance.build.tags_due import note_lines
from provenance.build.told import paper_lines, stale_line
from provenance.build.whole import Progress
from provenance.output import append_text, write_file
from provenance.papers.format import format_for
from provenance.papers.sheets.frame import Paper
from provenance.problems import Problem, Said, Words
from provenance.public.border import Border


def make_for_outlet(
    border: Border, name: str, progress: Progress, shown: Callable[[Path], str]
) -> tuple[list[Words], list[Problem]]:
    """All papers of an outlet: made, written, noted; the lines that tell it (`shown` is how a path
    is told) and what could not be made."""
    made = outlet_papers(border, name)
    run, papers, outlet = _tags(border, made, progress), made.papers, made.display.outlet
    if run.content:
        papers += (Paper("tags.pdf", run.content, border.phrases.say("papers.tags")),)
    folder = border.house.folder / "papers" / name
    stale = stale_line(folder, papers)
    write_papers(folder, papers)
    if noted := note_lines(border.studio, run.notes) + made.noted:
        append_text(border.house.folder / "studio" / "printed.yaml", noted)
    told = {"outlet": outlet.title, "count": made.display.count, "folder": shown(folder)}
    lines = [Said("papers.head", **told), *paper_lines(papers), *([stale] if stale else [])]
    problems = [*made.problems, *run.problems]
    if outlet.kind == "gallery":
        more, slips = _certificates(border, _for_sale(made), shown)
        lines, problems = lines + more, problems + slips
    left_out = (Said("outlet.no_tag", number=n, why=why) for n, why in run.left_out)
    lines += (Said("papers.remark", what=remark) for remark in (*made.remarks, *left_out))
    return lines, problems


def write_papers(folder: Path, papers: tuple[Paper, ...]) -> None:
    """Each file in its place."""
    for paper in papers:
        write_file(folder.joinpath(*paper.name.split("/")), paper.content)


def _for_sale(made: OutletPapers) -> tuple[str, ...]:
    return tuple(each.number for each in made.display.pieces if each.for_sale)


def _tags(border: Border, made: OutletPapers, progress: Progress) -> TagRun:
    numbers, outlet, run = _for_sale(made), made.display.outlet, TagRun()
    if outlet.tag_kind != "none" and numbers:
        with progress("tags") as bar:
            run = print_tags(border, Wishes(numbers=numbers, outlet=outlet.name), bar.tell)
    return run if run.content else TagRun()


def _certificates(
    border: Border, numbers: tuple[str, ...], shown: Callable[[Path], str]
) -> tuple[list[Words], list[Problem]]:
    """Written where certificates lie, so that each has one place."""
    lines: list[Words] = []
    problems: list[Problem] = []
    for issued in issue_certificates(border, numbers, format_for(border.house), is_strict=True):
        if issued.slip:
            problems.append(not_issued(border.studio, issued.number, issued.slip))
        elif issued.issue and issued.path:
            told = {"issue": str(issued.issue.number), "path": shown(issued.path)}
            lines.append(Said("papers.certificate", number=issued.number, **told))
    return lines, problems
