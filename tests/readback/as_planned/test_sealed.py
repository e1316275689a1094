"""A press that lies is told by what it prints, though the file is whole: clips, hidden text, notes,
scripts, tags, fonts, and all that hides beside the pages."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from functools import partial

import pytest
from fontTools.ttLib import TTFont, newTable
from fontTools.ttLib.tables.ttProgram import Program

from packbuilder.readback.as_planned import differences
from tests.readback.as_planned.plans import PRINTED, real, tiny, told
from tests.readback.as_planned.sealing import (
    Change,
    added,
    bytes_of,
    content,
    exchanged,
    more,
    obj,
    sealed,
    stream,
)

PAGE = "not-as-planned"

# --- what is drawn -------------------------------------------------------------------------------

ADDED = {
    "a scribble": "0 G 6 w 60 300 m 200 700 400 100 540 600 c S",
    "a stroke": "0 G 1 w 100 100 m 300 100 l S",
    "a grey bar": "0.5 g 300 60 100 10 re f",
    "a bar over words": "0 g 60 490 300 40 re f",
    "a white patch": "1 g 40 250 500 140 re f",
    "a rule": "0.5 G 0.5 w [3 2] 0 d 100 60 m 380 60 l S",
    "a lozenge": "0 g 300 60 m 305 65 l 300 70 l 295 65 l h f",
    "a path painted with nothing": "100 100 m 200 200 l n",
    "a digit": "BT 0 g /F1+0 9 Tf 1 0 0 1 300 60 Tm <01> Tj ET",
    "white words": "BT 1 g /F1+0 9 Tf 1 0 0 1 300 60 Tm <0102> Tj ET",
    "an image": "30 0 0 3 300 60 cm BI /W 1 /H 1 /CS /G /BPC 8 ID \0 EI",
    "an outside image": "/Im1 Do",
    "a clip": "0 0 99 99 re W n",
    "a shading": "/Sh1 sh",
    "a colour": "1 0 0 rg 300 60 9 9 re f",
    "a state from the resources": "/G1 gs",
    "other marked content": "/OC /L1 BDC EMC",
    "nothing, marked": "/Span BMC EMC",
    "a comment": "% look here\n",
    "an operator that lacks what it needs": "Q g 0 0 99 99 re f q",
    "operands of none": "Q 1 2 3 q",
    "text that is a list": "BT 0 g /F1+0 9 Tf 1 0 0 1 300 60 Tm [<01>] Tj ET",
    "a stroke within text": "BT 0 g 100 100 m 300 100 l S ET",
    "text within a stroke": "100 100 m BT ET 300 100 l S",
    "a path that is not painted": "100 100 m 300 100 l",
    "text outside": "/F1+0 9 Tf 1 0 0 1 300 60 Tm <01> Tj",
    "an end that did not begin": "EMC",
}


@pytest.mark.parametrize("name", ADDED)
def test_what_is_added_to_a_page_is_told(name: str) -> None:
    told(sealed(tiny(), added(ADDED[name])), tiny(), PAGE)


@pytest.mark.parametrize("edition", PRINTED)
@pytest.mark.parametrize("name", ["a scribble", "a white patch", "a digit"])
def test_it_is_told_in_every_edition(edition: str, name: str) -> None:
    told(sealed(real(edition), added(ADDED[name])), real(edition), PAGE)


CONTENT: dict[str, tuple[bytes, bytes]] = {
    "a clip before all": (rb"^", b"q 0 0 99 99 re W n Q\n"),
    "the page turned": (rb"^(.*)$", rb"q 0 1 -1 0 400 0 cm \1 Q"),
    "the page moved": (rb"^(.*)$", rb"q 1 0 0 1 0.02 0 cm \1 Q"),
    "the page stretched": (rb"^(.*)$", rb"q 1.1 0 0 1 0 0 cm \1 Q"),
    "text that is invisible": (rb"BT ", b"BT 3 Tr "),
    "text that is stretched": (rb"BT ", b"BT 90 Tz "),
    "text that is raised": (rb"BT ", b"BT 1 Ts "),
    "text with wider blanks": (rb"BT ", b"BT 1 Tw "),
    "text with wider letters": (rb"0\.8 Tc", b"0.82 Tc"),
    "letters left wide": (rb" 0 Tc", b""),
    "text aslant": (rb"1 0 0 1( \S+ \S+ Tm)", rb"1 0 0.2 1\1"),
    "text moved on": (rb"( Tm)", rb"\1 9 0 Td"),
    "text a hundredth off": (rb"1 0 0 1 60\.00", b"1 0 0 1 60.01"),
    "a digit a hundredth off": (rb"1 0 0 1 72\.00", b"1 0 0 1 72.01"),
    "a size off": (rb" 30 Tf", b" 30.01 Tf"),
    "another grey": (rb"0\.33 g", b"0.35 g"),
    "another font": (rb"/F1\+0", b"/F2+0"),
    "a font that is not there": (rb"/F1\+0", b"/F9+0"),
    "a letter in white": (
        rb"0 g( [^T]*Tm[^T]*Tc \S+ \S+ Tf )<(..)(..)(..)([^>]*)> Tj",
        rb"0 g\1<\2> Tj 1 g <\3> Tj 0 g <\4\5> Tj",
    ),
    "text with something in it": (rb"\]TJ", b"x]TJ"),
    "text as a list": (rb"(<[0-9a-f]+>) Tj", rb"[\1] Tj"),
    "text without a place": (rb"1 0 0 1 \S+ \S+ Tm ", b""),
    "another letter": (rb"<..> Tj", b"<00> Tj"),
    "letters of no code": (rb"<[0-9a-f]{2}", b"<ff"),
    "a kern gone": (rb">-?\d+<", b"><"),
    "a kern of another pair": (rb">(\d)(\d*)<", rb">\g<1>9\2<"),
    "a kern at the end": (rb">\]TJ", b">-300]TJ"),
    "a kern before all": (rb"\[<", b"[-300<"),
    "a dash": (rb"\[3 2\] 1 d", b"[3 2.02] 1 d"),
    "its phase": (rb"\[3 2\] 1 d", b"[3 2] 1.02 d"),
    "a dash gone": (rb"\[3 2\] 1 d", b""),
    "a dash for all": (rb"^(?=.*/TD)", b"[1 1] 0 d\n"),
    "ends of strokes": (rb" 2 J", b" 1 J"),
    "ends of dashes round a closed path": (rb"1 J \[4 2\]", b"[4 2]"),
    "joints of strokes": (rb"1 j", b"2 j"),
    "a dash that is no list": (rb"^(?=.* l )", b"3 0 d\n"),
    "a limit of mitres": (rb"^(?=.* l )", b"1 M\n"),
    "a weight": (rb"1\.5 w", b"1.52 w"),
    "filled by the other rule": (rb"f\*", b"f"),
    "filled, not stroked": (rb" B Q", b" f Q"),
    "a path unclosed": (rb" h ", b" "),
    "a path closed": (rb" l S", b" l h S"),
    "a point moved": (rb"250\.00", b"250.02"),
    "a box gone": (rb" [\d.]+ [\d.]+ [\d.]+ [\d.]+ re f", b" f"),
    "a box smaller": (rb"40\.00 re", b"39.50 re"),
    "all lozenges full": (rb"0\.33 G 0\.5 w (136 .*? h) S", rb"0.33 g \1 f"),
    "an operator that lacks what it needs, and more behind it": (rb"$", b"\ng 0 0 99 99 re f"),
    "marked content told as words": (rb"/TD<</MCID", b"/TD<</ActualText(9)/MCID"),
    "marked content with an alternative": (rb"/TD<</MCID", b"/TD<</Alt(9)/MCID"),
    "marked content in another tongue": (rb"/TD<</MCID", b"/TD<</Lang(fr)/MCID"),
    "marked content of another number": (rb"/MCID 1>>", b"/MCID 7>>"),
    "marked content that is no element": (rb"/P<</MCID \d+>>BDC", b"/Span BMC"),
    "marked content of another role": (rb"/TD<<", b"/TH<<"),
    "furniture that says something": (rb"/Artifact BMC", b"/Artifact<</ActualText(x)>>BDC"),
    "furniture that is read out": (rb"/Artifact BMC", b"/P<</MCID 0>>BDC"),
    "marks that are not marked": (rb"/Artifact BMC(.*?)EMC", rb"\1"),
    "marked content without an end": (rb"EMC(?!.*EMC)", b""),
    "operands of nothing at the end": (rb"$", b"\n1 2 3"),
    "states within each other": (rb"^", b"q q q q q Q Q Q Q Q\n"),
    "a state that was not saved": (rb"^", b"Q\n"),
    "a state without an end": (rb"Q(?!.*Q)", b""),
}


@pytest.mark.parametrize("name", CONTENT)
def test_what_is_changed_on_a_page_is_told(name: str) -> None:
    told(sealed(tiny(), content(*CONTENT[name])), tiny(), PAGE)


DARK: dict[str, tuple[bytes, bytes]] = {
    "no ground": (rb"^/Artifact BMC\n0\.1 g .*? re f\nEMC\n", b""),
    "another ground": (rb"^/Artifact BMC\n0\.1 g", b"/Artifact BMC\n0.2 g"),
    "a light page": (rb"^(.*re f\nEMC\n)", rb"\g<1>/Artifact BMC 1 g 0 0 419.53 595.28 re f EMC "),
    "a ground that is too small": (rb"595\.28 re", b"590.28 re"),
    "dark type": (rb"0\.93 g 1", b"0 g 1"),
}


@pytest.mark.parametrize("name", DARK)
def test_faults_of_the_dark_are_told(name: str) -> None:
    plan = tiny("screen-dark")
    told(sealed(plan, content(*DARK[name])), plan, PAGE)


FOLDED: dict[str, tuple[bytes, bytes]] = {
    "a fold mark gone": (rb"(0\.4 w 0 J) \S+ \S+ m \S+ \S+ l", rb"\1"),
    "a fold mark moved": (rb"(0\.4 w 0 J) 420\.94", rb"\1 421.94"),
    "a staple mark gone": (rb" \S+ \S+ m 429\.45 \S+ l", b""),
    "a staple mark more": (rb"( \S+ \S+ m 429\.45 \S+ l)", rb"\1\1"),
    "a half moved": (rb"1 0 0 1 \S+ (\S+ cm)", rb"1 0 0 1 0.7 \1"),
    "a half turned": (rb"1 0 0 1 (\S+ \S+ cm)", rb"-1 0 0 -1 \1"),
    "a half gone": (rb"q 1 0 0 1 \S+ \S+ cm.*?\nQ", b""),
    "halves swapped": (rb"(q [^q]*? cm)(.*?\nQ\n)(q [^q]*? cm)", rb"\3\2\1"),
    "a scribble on a bare page": (rb"$", b"\n0 g 200 400 50 50 re f"),
}


@pytest.mark.parametrize("name", FOLDED)
def test_faults_of_folding_are_told(name: str) -> None:
    plan = tiny("booklet")
    told(sealed(plan, content(*FOLDED[name])), plan, PAGE)


CROP = rb"(0\.25 w 0 J(?: \S+ \S+ m \S+ \S+ l){%d}) \S+ \S+ m \S+ \S+ l"
SHOP: dict[str, tuple[bytes, bytes]] = {
    **{f"crop mark {k} gone": (CROP % k, rb"\1") for k in range(8)},
    "a crop mark twice": (rb"(0\.25 w 0 J)( \S+ \S+ m \S+ \S+ l)", rb"\1\2\2"),
    "the band narrower": (rb"(0 g 19\.84 19\.84) \S+", rb"\1 30"),
    "the band grey": (rb"0 g 19\.84", b"0.5 g 19.84"),
    "no band": (rb"0 g 19\.84 \S+ \S+ \S+ re f", b""),
    "ink beyond the trim": (rb"$", b"\n/Artifact BMC\n0 g 450 300 8 8 re f\nEMC"),
}  # fmt: skip


@pytest.mark.parametrize("name", SHOP)
def test_faults_of_print_shop_sheets_are_told(name: str) -> None:
    plan = tiny("print-shop")
    told(sealed(plan, content(*SHOP[name])), plan, PAGE)


# --- what stands beside the marks ----------------------------------------------------------------

root, page = partial(more, "/Type/Catalog"), partial(more, "/Type/Page/")
link = partial(more, "/Type/Annot/Subtype/Link")
field = partial(more, "/Type/Annot/Subtype/Widget")
SCRIPT = "<</S/JavaScript/JS(app.alert)>>"
LINK, WEB = r"(/Subtype/Link.*)/F 4", r"/A<</S/URI/URI\((.*?)\)>>"

INFORMATION = ("Author", "Subject", "Keywords", "Creator", "Producer", "CreationDate", "ModDate")

OBJECTS: dict[tuple[str, str], dict[str, Change]] = {
    ("print", "file-entries"): {
        "an action on opening": root(f"/OpenAction{SCRIPT}"),
        "a place on opening": root("/OpenAction[5 0 R/Fit]"),
        "actions of the file": root(f"/AA<</WC{SCRIPT}>>"),
        "layers": root("/OCProperties<<>>"),
        "associated files": root("/AF[]"),
        "a base of addresses": root("/URI<</Base(x)>>"),
        "a collection": root("/Collection<</View/H>>"),
        "a form": root("/AcroForm<</Fields[]>>"),
        "attached files": obj("/Dests", "/EmbeddedFiles<<>>/Dests"),
        "a full screen": obj("/UseOutlines", "/FullScreen"),
        "no preferences": obj("/ViewerPreferences<<.*?>>", ""),
        "scaled prints": obj("/PrintScaling/None", ""),
        "a title that is not shown": obj("/DisplayDocTitle true", ""),
        "another language": obj(r"/Lang\(en\)", "/Lang(fr)"),
        "no language": obj(r"/Lang\(en\)", ""),
        "no tags": obj("/Marked true", "/Marked false"),
        "suspect tags": obj("/Marked true", "/Marked true/Suspects true"),
        "no labels": obj(r"/PageLabels \d+ 0 R", ""),
        "no bookmarks": obj(r"/Outlines \d+ 0 R", ""),
        "another version": obj("/Version/1.7", "/Version/1.4"),
    },
    ("booklet", "file-entries"): {
        "bookmarks in a booklet": root("/Outlines 2 0 R"),
        "labels in a booklet": root("/PageLabels<</Nums[]>>"),
    },
    ("print", "page-entries"): {
        "a page turned": page("/Rotate 90"),
        "a page cropped": page("/CropBox[0 0 300 500]"),
        "a page of another paper": obj(r"\[0 0 419.53", "[0 0 421"),
        "a trim box": page("/TrimBox[9 9 99 99]"),
        "an art box": page("/ArtBox[9 9 99 99]"),
        "a scale of units": page("/UserUnit 2"),
        "a show": page("/Dur 1"),
        "a transition": page("/Trans<</S/Dissolve>>"),
        "actions of a page": page(f"/AA<</O{SCRIPT}>>"),
        "a page's own data": page("/PieceInfo<</X 1>>"),
        "a transparent page": page("/Group<</S/Transparency>>"),
        "links gone": obj(r"/Annots\[.*?\]", ""),
        "a link less": obj(r"/Annots\[\d+ 0 R ", "/Annots["),
        "a note": obj(r"/Annots\[", "/Annots[9 0 R "),
    },
    ("screen", "page-entries"): {
        "another order of tabs": obj("/Tabs/S", "/Tabs/R"),
    },
    ("print-shop", "page-entries"): {
        "boxes of a plain page": obj("/CropBox.*?]/Bleed.*?]/Trim.*?]", ""),
        "another bleed": obj(r"/BleedBox\[19.84", "/BleedBox[17"),
    },
    ("booklet", "page-entries"): {
        "a link in a booklet": page("/Annots[2 0 R]"),
    },
    ("print", "link"): {
        "links in another order": obj(r"/Annots\[(\d+ 0 R) (\d+ 0 R)", r"/Annots[\2 \1"),
        "a link that does more": obj(WEB, r"/A<</S/URI/URI(\1)/Next<</S/Launch>>>>"),
        "a link that starts a program": obj("/S/URI", "/S/Launch"),
        "a link to another address": obj("example.org/", "example.com/"),
        "a link to another place": obj(r"/Dest\(grid-1\)", "/Dest(contents)"),
        "a link to nowhere": obj(r"/Dest\(grid-1\)", "/Dest(nowhere)"),
        "a link elsewhere": obj(r"/Rect\[60 498", "/Rect[62 498"),
        "a link of other words": obj(r"/Contents\(Grid 1", "/Contents(Grid 9"),
        "a hidden link": obj(LINK, r"\1/F 2"),
        "a link with a border": obj(r"/Border\[0 0 0\]", "/Border[0 0 9]"),
        "a link with a style": link("/BS<</W 9>>"),
        "actions of a link": link(f"/AA<</E{SCRIPT}>>"),
        "a link with a look": link("/AP<</N 9 0 R>>"),
        "another kind of note": obj("/Subtype/Link", "/Subtype/FreeText"),
    },
    ("print", "font"): {
        "an image of the resources": obj("/ProcSet", "/XObject<<>>/ProcSet"),
        "a font of another name": obj(
            "/FontName /AAAAAA.SourceSansPro-Regular", "/FontName /AAAAAA+SourceSansPro-Bold"
        ),
        "a font that is not there": obj(r"/FontFile2 \d+ 0 R", ""),
        "a width": obj(r"/Widths \[ (\d+)", r"/Widths [ 9\1"),
        "an encoding": obj("/Subtype /TrueType", "/Subtype /TrueType /Encoding /WinAnsiEncoding"),
        "bold by force": obj("/Flags 4", "/Flags 262148"),
        "another first code": obj("/FirstChar 0", "/FirstChar 1"),
    },
    ("print", PAGE): {
        "pages that share more": more("/Type/Pages", "/Rotate 90"),
    },
    ("print", "bookmark"): {
        "places out of order": obj(r"(\(cont.*?\]) ?(\(ends\).*?\])", r"\2 \1"),
        "a place gone": obj(r"\(ends\)\[.*?\]", ""),
        "a place moved": obj("XYZ 50 580 0", "XYZ 50 400 0"),
        "a place on another page": obj(r"(\(ends\)\[)\d+", r"\g<1>5"),
        "a place zoomed": obj("XYZ 50 580 0", "XYZ 50 580 4"),
        "a bookmark that does something": obj(r"/Dest\[.*?\]/Next", f"/A{SCRIPT}/Next"),
        "a bookmark that leads elsewhere": obj(r"(Title\(Ends.*)580", r"\g<1>480"),
        "a bookmark of another title": obj(r"Title\(Contents", "Title(Content"),
        "a bold bookmark": obj(r"/Title\(Ends\)", "/F 2/Title(Ends)"),
        "open bookmarks": obj("/Count -2", "/Count 2"),
        "a bookmark skipped": obj(r"(/Type/Outlines/First \d+ 0 R/Last) \d+", r"\1 5"),
        "labels from another number": obj("/St 2", "/St 3"),
        "labels of another kind": obj("/S/D/St", "/S/r/St"),
    },
    ("sampler", "metadata"): {
        **{key: obj(rf"/{key}\(.", f"/{key}(x") for key in INFORMATION},
    },
    ("print", "metadata"): {
        "title of the information": obj("/Title<FEFF00", "/Title<FEFF01"),
        "a secret of the information": obj("/Trapped/False", "/Trapped/False/Mine(x)"),
        "a press that traps": obj("/Trapped/False", "/Trapped/True"),
    },
    ("screen", "field"): {
        "a field filled in": field("/V(5)"),
        "a field with a first value": field("/DV(5)"),
        "a field of another name": obj(r"/T\(p1-r1c2\)", "/T(p1-r1c3)"),
        "a field told otherwise": obj(r"/TU\(Grid 1", "/TU(Grid 2"),
        "a field that takes more": obj("/MaxLen 1", "/MaxLen 2"),
        "a field at the left": obj("/Q 1", "/Q 0"),
        "a field that is a button": obj("/FT/Tx", "/FT/Btn"),
        "a field that acts": field(f"/AA<</K{SCRIPT}>>"),
        "a field to read only": field("/Ff 1"),
        "a field for passwords": field("/Ff 8192"),
        "a hidden field": obj(r"(Widget.*)/F 4", r"\1/F 2"),
        "a pale field": obj(r"(Tf) 0 g\)", r"\1 0.8 g)"),
        "a field in no font": obj(r"/DA\(/PBF 24 Tf ", "/DA("),
        "a field in a font not there": obj(r"/DA\(/PBF", "/DA(/Helv"),
        "a small field": obj(r"/DA\(/PBF 24", "/DA(/PBF 1"),
        "a field that shows otherwise": obj(r"/DA\(/PBF", "/DA(3 Tr /PBF"),
        "a field moved": obj(r"(Widget.*/Rect\[)101", r"\g<1>103"),
        "a field with ink": field("/AP<</N 9 0 R>>"),
        "a field that covers": field("/MK<</BG[1]>>"),
        "a field with a border": field("/MK<</BC[1 0 0]>>"),
        "a field with a style": field("/BS<</W 6>>"),
        "fields that no viewer draws": obj("/NeedAppearances true", ""),
        "an XFA form": obj("/NeedAppearances", "/XFA(x)/NeedAppearances"),
        "fields that are reckoned": obj("/NeedAppearances", "/CO[]/NeedAppearances"),
        "a field that is not listed": obj(r"/Fields\[\d+ 0 R ", "/Fields["),
        "fields in another order": obj(r"/Fields\[(\d+ 0 R) (\d+ 0 R)", r"/Fields[\2 \1"),
        "another font of the form": obj("/PBF (.*?)>>>>", r"/PBF \1/G 9 0 R>>>>"),
    },
    ("print", "tag"): {
        "an element in another tongue": obj("/S/P/P", "/S/P/Lang(zh)/P"),
        "an expanded cell": obj("/S/TD/P", "/S/TD/E(nine)/P"),
        "a cell told otherwise": obj("/S/TD/P", "/S/TD/ActualText(9)/P"),
        "an empty cell that says something": obj(r"(/S/TD/P \d+ 0 R)>>", r"\1/Alt(9)>>"),
        "a wide cell": obj("/S/TD/P", "/S/TD/A<</O/Table/ColSpan 2>>/P"),
        "a heading told otherwise": obj(r"\(row 1\)", "(row 2)"),
        "a heading without words": obj(r"/ActualText\(column 1\)", ""),
        "headings of another scope": obj("/Scope/Row", "/Scope/Column"),
        "a heading that is a cell": obj(r"/S/TH(.*row 1)", r"/S/TD\1"),
        "two digits exchanged": exchanged(r"/S/TD/P \d+ 0 R/Pg \d+ 0 R/K (\d+)"),
        "a digit in an empty cell": exchanged(r"/S/TD/P \d+ 0 R(.*)>>"),
        "a digit that is not heard": obj(r"(/S/TD/P \d+ 0 R)/Pg \d+ 0 R/K \d+", r"\1"),
        "a row less": obj(r"(/S/Table.*/K\[.*) \d+ 0 R\]", r"\1]"),
        "a cell less": obj(r"(/S/TR.*/K\[.*) \d+ 0 R\]", r"\1]"),
        "another summary": obj(r"/Summary\(Grid 1", "/Summary(Grid 2"),
        "a summary that goes on": obj(r"(/Summary\(.*?)\)", r"\1 Row 1: 5.)"),
        "no summary": obj(r"/Summary\(.*?\)", ""),
        "sections exchanged": obj(r"(/S/Document.*\[)(\d+ 0 R) (\d+ 0 R)", r"\1\3 \2"),
        "a section renamed": obj(r"/T\(Cover\)", "/T(Other)"),
        "a section less": obj(r"(/S/Document.*\[)\d+ 0 R ", r"\1"),
        "a section backwards": obj(r"(/S/Sect.*\[)(\d+ 0 R) (\d+ 0 R)", r"\1\3 \2"),
        "a heading that is a paragraph": obj("/S/H1", "/S/P"),
        "a heading told as another": obj("/S/H1", "/S/H1/ActualText(Answers)"),
        "content that is in no element": obj(r"(/S/H1.*/K\[)\d+\]", r"\1]"),
        "content that is there twice": obj(r"(/S/H1.*/K\[)(\d+)\]", r"\1\2 \2]"),
        "content of another page": obj(r"(/Type/MCR/Pg) \d+", r"\1 5"),
        "a figure without words": obj(r"/Alt\(.*?\)", ""),
        "a figure told otherwise": obj(r"/Alt\(A picture", "/Alt(No picture"),
        "an unknown role": obj("/S/H1", "/S/Poem"),
        "roles of its own": more("/Type/StructTreeRoot", "/RoleMap<</H1/P>>"),
        "classes": more("/Type/StructTreeRoot", "/ClassMap<<>>"),
        "a link that is in no element": obj(r" <</Type/OBJR.*?>>", ""),
        "a next key in use": obj(r"/ParentTreeNextKey \d+", "/ParentTreeNextKey 3"),
        "ways back exchanged": obj(r"(/Nums\[0\[)(\d+ 0 R) (\d+ 0 R)", r"\1\3 \2"),
        "a way back gone": obj(r"(/Nums\[0\[)\d+ 0 R ", r"\1"),
        "a tree that bites its tail": obj(r"(/S/Sect/P )(\d+)(.*\[)", r"\1\2\3\2 0 R "),
        "a table elsewhere": exchanged(r"/S/Table/P \d+ 0 R/K\[(.*?)\]"),
    },
    ("screen", "tag"): {
        "two fields exchanged": exchanged(r"/S/Form.*/Obj (\d+)"),
        "a field in no element": obj(r"(/S/Form.*)/K <<.*?>>", r"\1"),
    },
    ("print", "file-damaged"): {
        "a font of another house": obj(
            "/BaseFont /AAAAAA.SourceSansPro-Regular", "/BaseFont /AAAAAA+Comic"
        ),
    },
}

EACH = [(*kind, name) for kind, some in OBJECTS.items() for name in some]


@pytest.mark.parametrize("edition, code, name", EACH)
def test_what_is_changed_beside_the_marks_is_told(edition: str, code: str, name: str) -> None:
    change = OBJECTS[edition, code][name]
    told(sealed(tiny(edition), change), tiny(edition), code)


# --- the packet of metadata ----------------------------------------------------------------------

PACKET: dict[str, tuple[str, str]] = {
    "another title": ("Tiny ", "Small "),
    "another author": ("Ada &amp; Quill", "Ada Quill"),
    "another date": ("2026-12", "2026-11"),
    "another tool": ("CreatorTool>packbuilder", "CreatorTool>other"),
    "another tongue": ('"x-default"', '"fr"'),
    "another bag": ("rdf:Bag", "rdf:Seq"),
    "a comment": ("</x:xmpmeta>", "<!-- at home --></x:xmpmeta>"),
    "an element more": ("<dc:format>", "<dc:source>at home</dc:source><dc:format>"),
    "an element at the end": ("</rdf:Description>", "<pdf:X>a</pdf:X></rdf:Description>"),
    "an element less": ("<dc:format>application/pdf</dc:format>", ""),
    "an attribute": ("<dc:format>", '<dc:format dc:x="at home">'),
    "a space of names": ("<dc:format>", '<dc:format xmlns:z="at home">'),
    "text between elements": ("<dc:format>", "at home<dc:format>"),
    "text within elements": ("<rdf:Seq>", "<rdf:Seq>at home"),
    "no whole XML": ("</x:xmpmeta>", ""),
    "entities": ("<x:xmpmeta", '<!DOCTYPE x [<!ENTITY a "aaaa">]><x:xmpmeta'),
    "an instruction": ("<x:xmpmeta", "<?php ?><x:xmpmeta"),
    "no beginning": ("<?xpacket begin", "<?xpacket start"),
    "something behind": ('<?xpacket end="r"?>', '<?xpacket end="r"?> at home'),
    "one that may be written": ('end="r"', 'end="w"'),
}


def packet(old: str, new: str) -> Change:
    """The packet is not packed: its length is changed with it."""

    def change(bodies: list[str | bytes]) -> None:
        k = next(k for k, body in bodies.items() if b"<?xpacket" in bytes_of(body))
        body = bytes_of(bodies[k]).replace(old.encode(), new.encode())
        assert body != bodies[k]
        length = len(body.partition(b"\nstream\n")[2]) - len(b"\nendstream")
        bodies[k] = re.sub(rb"/Length \d+", b"/Length %d" % length, body, count=1)

    return change


@pytest.mark.parametrize("name", PACKET)
def test_what_is_changed_in_the_packet_is_told(name: str) -> None:
    told(sealed(tiny(), packet(*PACKET[name])), tiny(), "metadata")


# --- programs of fonts ---------------------------------------------------------------------------


def program(change: Callable[[TTFont], None]) -> Change:
    """The first font program, opened and written again by fontTools."""

    def changed(data: bytes) -> bytes:
        font = TTFont(io.BytesIO(data))
        change(font)
        out = io.BytesIO()
        font.save(out)
        return out.getvalue()

    return stream(lambda head, data: b"/Length1" in head, changed)


def raw(change: Callable[[bytes], bytes]) -> Change:
    return stream(lambda head, data: b"/Length1" in head, change)


def inked(font: TTFont) -> list[str]:
    """Glyphs that are drawn."""
    return [name for name in font.getGlyphOrder() if font["glyf"][name].numberOfContours > 0]


def moved(font: TTFont) -> None:
    glyph = font["glyf"][inked(font)[1]]
    glyph.coordinates[0] = (glyph.coordinates[0][0] + 60, glyph.coordinates[0][1])


def swapped(font: TTFont) -> None:
    glyf, (one, other, *_) = font["glyf"], inked(font)
    glyf[one], glyf[other] = glyf[other], glyf[one]


def recoded(data: bytes) -> bytes:
    """Codes 65 and 66, or the first ones of a smaller font, in each other's place."""
    at = TTFont(io.BytesIO(data)).reader.tables["cmap"].offset + 22
    at += 130 if len(data) > 10_000 else 2
    return data[:at] + data[at + 2 : at + 4] + data[at : at + 2] + data[at + 4 :]


def widened(font: TTFont) -> None:
    advance, left = font["hmtx"][inked(font)[1]]
    font["hmtx"][inked(font)[1]] = advance + 10, left


def hinted(font: TTFont) -> None:
    font["fpgm"] = newTable("fpgm")
    font["fpgm"].program = Program()
    font["fpgm"].program.fromBytecode(b"\xb0\x00")


def instructed(font: TTFont) -> None:
    font["glyf"][inked(font)[1]].program.fromBytecode(b"\xb0\x00\x21")


def more_units(font: TTFont) -> None:
    font["head"].unitsPerEm = 1024


def codes(old: bytes, new: bytes) -> Change:
    """What the codes of the first font are said to mean."""
    pattern = re.compile(old, re.DOTALL)
    return stream(lambda head, data: b"begincmap" in data, lambda data: pattern.sub(new, data))


PROGRAMS: dict[str, tuple[str, Change]] = {
    "a point moved": ("its glyph", program(moved)),
    "outlines exchanged": ("its glyph", program(swapped)),
    "codes exchanged": ("its glyph", raw(recoded)),
    "an advance": ("its glyph", program(widened)),
    "hints of a glyph": ("its glyph", program(instructed)),
    "hints": ("its table 'fpgm'", program(hinted)),
    "smaller units": ("its table 'head'", program(more_units)),
    "written by another program": ("not just its tables", program(lambda font: None)),
    "bytes behind it": ("not just its tables", raw(lambda data: data + bytes(4))),
    "a table's name": ("its table 'nane'", raw(lambda data: data.replace(b"name", b"nane", 1))),
    "a check sum": ("not just its tables", raw(lambda data: data[:16] + bytes(4) + data[20:])),
    "tables over each other": (
        "cannot be read",
        raw(lambda data: data[:24] + bytes([1, 0, 0, 0]) + data[28:]),
    ),
    "codes of another platform": (
        "more than one way",
        raw(lambda data: data.replace(bytes(3) + b"\1\0\1", bytes(3) + b"\1\0\3")),
    ),
    "nothing": ("cannot be read", raw(lambda data: b"")),
    "no font": ("cannot be read", raw(lambda data: bytes(len(data)))),
    "half of it": ("cannot be read", raw(lambda data: data[: len(data) // 2])),
    "a letter that says another": ("", codes(rb"<01> <....>", b"<01> <0041>")),
    "letters in ranges": (
        "tells its letters",
        codes(rb"\d+ beginbfchar.*endbfchar", b"1 beginbfrange\n<00> <FF> <00>\nendbfrange"),
    ),
    "a letter that says two": ("tells its letters", codes(rb"(<01> <....)>", rb"\g<1>0041>")),
}


@pytest.mark.parametrize("name", PROGRAMS)
@pytest.mark.parametrize("edition", ["print", "screen"])
def test_what_is_changed_in_a_font_is_told(edition: str, name: str) -> None:
    """In print it is a font of the pages, on the screen that of fields comes first."""
    words, change = PROGRAMS[name]
    told(sealed(tiny(edition), change), tiny(edition), "font", words)


def test_a_glyph_that_no_code_shows_is_told() -> None:
    """Two codes say that they are one letter, and show its glyph; the other one is left over."""

    def same(data: bytes) -> bytes:
        at = TTFont(io.BytesIO(data)).reader.tables["cmap"].offset + 24
        return data[: at + 2] + data[at : at + 2] + data[at + 4 :]

    changes = raw(same), codes(rb"(<01> <(....)>\n<02>) <....>", rb"\1 <\2>")
    told(sealed(tiny(), *changes), tiny(), "font", "glyphs that no code shows")


@pytest.mark.parametrize("edition", PRINTED)
def test_a_file_that_is_sealed_as_it_is_passes(edition: str) -> None:
    assert list(differences(sealed(tiny(edition)), tiny(edition))) == []
