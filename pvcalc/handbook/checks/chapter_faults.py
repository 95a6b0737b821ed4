"""Faults of an author in a chapter, each with the line and the words that name it.

The tests plant every one of them, and the page of faults shows them; nothing else may list them.
"""

from typing import NamedTuple


class Group(NamedTuple):
    """Faults of one kind, with what mends them."""

    title: str
    mends: str
    faults: list


# name, text of a page, line of the fault, words its message must hold.
AUTHOR = [
    Group("A fence names something nobody knows", "Write the name the message offers, or add the thing under that name.", [
        ("unknown formula", "# T\n\n```formula\nname: baloon_ratio\nballoon_mm: 20\nannulus_mm: 16\n```", 4,
         ["no formula is called `baloon_ratio`", "balloon_ratio"]),
        ("unknown argument", "```formula\nname: balloon_ratio\nbaloon_mm: 20\nannulus_mm: 16\nballoon_mm: 20\n```", 3,
         ["baloon_mm is not an input of balloon_ratio", "nearest name: balloon_mm"]),
        ("unknown setting in a fence",
         "```formula\nname: balloon_range_mm\nannulus_mm: 16\nlow_ratio: =target_lo_ratio\nhigh_ratio: 1.25\n```", 4,
         ["no setting is called `target_lo_ratio`", "target_low_ratio"]),
        ("result that the formula does not give",
         "```formula\nname: balloon_range_mm\nannulus_mm: 16\nlow_ratio: 1.2\nhigh_ratio: 1.25\nshow: low\n```", 6,
         ["no result is called `low`", "low_mm"]),
        ("unknown picture of an example",
         "```formula\nname: balloon_ratio\nballoon_mm: 20\nannulus_mm: 16\nfigure: balloon_on_anulus\n```", 5,
         ["no picture called balloon_on_anulus", "balloon_on_annulus"]),
        ("unknown picture", "```picture\nname: hinge_pionts\n```", 2, ["hinge_points"]),
        ("unknown table", "```table\nname: severity_acc\n```", 2, ["no decision table is called `severity_acc`"]),
        ("unknown table among several", "```table\nnames: [severity_esc_2020, severity_esc_2021]\n```", 2,
         ["severity_esc_2021", "nearest"]),
        ("unknown input of a table", "```table\nname: severity_esc_2020\ngiven: {doppler_peek_mmhg: 50}\n```", 3,
         ["doppler_peek_mmhg", "doppler_peak_mmhg"]),
        ("unknown field of a table fence", "```table\nname: severity_esc_2020\ngivn: {}\n```", 3, ["givn", "given"]),
        ("unknown printed example", "```printed\nid: balloon_ratio-999\n```", 2, ["printed example"]),
        ("unknown series", "```series\nids: [no_such_series]\n```", 2, ["no series is called `no_such_series`"]),
        ("unknown topic of settings", "```settings\ntopic: ballons\n```", 2, ["no topic is called"]),
        ("unknown generated page", "```generated\npage: formula\n```", 2, ["generated page", "formulas"]),
    ]),
    Group("A fence that cannot be read or computed", "Give every input once, as a plain number inside the range the message names, and close the fence.", [
        ("formula without name", "# T\n\n```formula\nannulus_mm: 16\n```", 3, ["no `name:`"]),
        ("missing argument", "```formula\nname: balloon_ratio\nballoon_mm: 20\n```", 2, ["Annulus is missing"]),
        ("value out of range", "```formula\nname: balloon_ratio\nballoon_mm: 20\nannulus_mm: 1.6\n```", 4,
         ["Annulus 1.6", "is outside", "typed in cm"]),
        ("value that is no number", "```formula\nname: balloon_ratio\nballoon_mm: wide\nannulus_mm: 16\n```", 3,
         ["Balloon “wide” is not a plain number"]),
        ("broken YAML", "```formula\nname: balloon_ratio\nballoon_mm: [20\n```", 3, ["not readable as YAML"]),
        ("the same key twice", "```formula\nname: balloon_ratio\nballoon_mm: 20\nballoon_mm: 21\nannulus_mm: 16\n```", 4,
         ["not readable as YAML", "duplicate key"]),
        ("a fence that holds no keys", "```formula\njust words\n```", 2, ["`key: value` lines"]),
        ("a fence never closed", "# T\n\n```formula\nname: balloon_ratio\nballoon_mm: 20\nannulus_mm: 16\n", 3, ["never closed"]),
    ]),
    Group("A mark in a sentence", "Write the name the message offers; give each citation a page, table, figure or section; move a mark out of the heading.", [
        ("unknown source", "# T\n\nThe ratio matters [@mcrindle1994, abstract].", 3,
         ["no source is called `mcrindle1994`", "mccrindle1994"]),
        ("missing locator", "The ratio matters [@mccrindle1994].", 1, ["[@mccrindle1994] needs a locator"]),
        ("unknown setting inline", "Aim for [=target_lowratio] first.", 1, ["target_lowratio", "target_low_ratio"]),
        ("unknown series inline", "It happened to [=series:nobody].", 1, ["no series is called `nobody`"]),
        ("unknown formula inline", "That is [=balloon_rato balloon_mm=20 annulus_mm=16].", 1, ["balloon_rato", "balloon_ratio"]),
        ("inline value out of range", "That is [=balloon_ratio balloon_mm=20 annulus_mm=0.9].", 1, ["Annulus 0.9", "typed in cm (9"]),
        ("inline word that is no pair", "That is [=balloon_ratio balloon_mm 20].", 1, ["must be written argument=value"]),
        ("mark in a heading", "## Aim [=target_low_ratio]", 1, ["a heading cannot carry"]),
    ]),
    Group("Mathematics", "Close every bracket and use the commands the build knows.", [
        ("malformed mathematics", r"The area is $\frac{1}$ of it.", 1, ["mfrac needs 2 parts"]),
        ("unknown command in mathematics", r"The area is $\foo x$ of it.", 1, [r"unknown command \foo"]),
    ]),
    Group("A number without a source", "Compute it, make it a setting or a series, cite it, or mark it [practice] or [memory].", [
        ("bare number with a unit", "The annulus was 18.4 mm.", 1, ["bare number: “18.4 mm”", "[practice]"]),
        ("bare percentage", "It comes back in 11 % of them.", 1, ["bare number: “11 %”"]),
        ("bare count", "It happened in 9 of 82 children.", 1, ["bare number: “9 of 82”"]),
        ("bare ratio", "Dilute it 1:4 with saline.", 1, ["bare number: “1:4”"]),
        ("bare multiple", "Take 1.2 times the annulus.", 1, ["bare number: “1.2 times”"]),
        ("recalled setting without the word", "Heparin, at most [=heparin_first_cap_units].", 1, ["[=heparin_first_cap_units] is recalled", "[memory]"]),
        ("bare number in a table cell", "| a | b |\n|---|---|\n| dose | 5 mg |", 3, ["bare number: “5 mg”"]),
    ]),
    Group("A dose or unit that can be misread", "Write it as the message says: no trailing zero, a leading zero, units and micrograms in full, mL, a space before the unit.", [
        ("trailing zero in a dose", "Give 1.0 mg slowly [practice].", 1, ["trailing zero in a dose", "1 mg, not 1.0 mg"]),
        ("no leading zero", "Give .5 mg slowly [practice].", 1, ["no leading zero"]),
        ("units abbreviated", "Give 5000 IU at once [practice].", 1, ["units abbreviated"]),
        ("micrograms abbreviated", "Give 10 µg at once [practice].", 1, ["micrograms abbreviated"]),
        ("micrograms in the American way", "Give 10 mcg at once [practice].", 1, ["micrograms abbreviated"]),
        ("millilitres misspelt", "Inject 5 ml by hand [practice].", 1, ["unit misspelt"]),
        ("large dose with a comma", "Give 5,000 units at once [practice].", 1, ["large dose"]),
        ("no space before the unit", "Use a 20mm balloon [practice].", 1, ["no space before the unit"]),
        ("plural on a unit", "Two mLs are enough [practice].", 1, ["full stop or plural"]),
        ("sign in a dose sentence", "Keep it < 5 mg in all [practice].", 1, ["less than"]),
    ]),
    Group("Text that no reader would see", "Close each comment on its own; write a sentence as a sentence, and a link with its address beside it.", [
        ("a comment never closed", "# T\n\n<!-- to do\n\nDo not give the strong ampoule.\n", 3, ["`<!--` is never closed"]),
        ("a comment that the next one closes", "# T\n\n<!-- to do\n\nDo not pull.\n\n<!-- done -->\n", 3, ["`<!--` is never closed"]),
        ("a sentence that Markdown takes for the address of a link", "# T\n\n[Stop]: adrenaline \"Do not give it\"\n", 3,
         ["“Stop adrenaline Do not give it”", "Markdown swallowed it"]),
        ("a sentence behind braces", "Do not pull the wire.\n{: .stop }\n", 2, ["does not stand on the page"]),
    ]),
    Group("A number or a mark that is not what it looks like", "Type plain digits, a point and a blank; write units as symbols; use the three marks.", [
        ("a letter for nought", "Give 5O mg at once [practice].", 1, ["letter in a number: “5O mg”"]),
        ("a letter for one", "Give l0 mg at once [practice].", 1, ["letter in a number: “l0 mg”"]),
        ("letters for ten", "Give lO mg at once [practice].", 1, ["letter in a number: “lO mg”"]),
        ("a blank that is not seen", "Give 1\u200b0 mg at once [practice].", 1, ["U+200B (zero width space)", "1\\u200b0"]),
        ("a soft hyphen", "Give 1\u00ad0 mg at once [practice].", 1, ["U+00AD (soft hyphen)"]),
        ("a dot that is no point", "Give 1\u20245 mg at once [practice].", 1, ["U+2024 (one dot leader)"]),
        ("a raised dot for a point", "Give 1·5 mg at once [practice].", 1, ["decimal point off the line: “1·5”"]),
        ("a wide digit", "Give \uff15 mg at once [practice].", 1, ["U+FF15 (fullwidth digit five)"]),
        ("a digit of another script", "Give \u0665 mg at once [practice].", 1, ["U+0665 (arabic-indic digit five)"]),
        ("a hyphen that does not break", "Keep it at \u20115 mmHg [practice].", 1, ["U+2011 (non-breaking hyphen)"]),
        ("a sign that turns the direction of reading", "Give \u202e01 mg at once [practice].", 1, ["U+202E (right-to-left override)", "\\u202e01"]),
        ("a letter of another script", "Give 5 m\u0261 at once [practice].", 1, ["U+0261 (latin small letter script g)"]),
        ("emphasis inside a number", "Give 1**0** mg at once [practice].", 1, ["emphasis inside a number"]),
        ("emphasis that hides a bare number", "Give **5** mg at once.", 1, ["bare number: “5 mg”"]),
        ("an entity in a number", "Give 5&nbsp;mg at once [practice].", 1, ["character written by its name: “5&nbsp;mg”"]),
        ("a unit in words", "Give 5 milligrams at once [practice].", 1, ["unit in words: “5 milligrams”"]),
        ("a dose in words", "Give five milligrams at once [practice].", 1, ["number in words: “five milligrams”"]),
        ("a hyphen between number and unit", "Take the 20-mm balloon [practice].", 1, ["hyphen between number and unit: “20-mm”"]),
        ("a dose counted in things", "Draw up 10 ampoules.", 1, ["bare number: “10 ampoules”"]),
        ("a dose in code", "Give `5 mg` at once.", 1, ["dose in code: `5 mg`"]),
        ("a mark misspelt", "Give 5 mg at once [practise].", 1, ["“[practise]” is no mark; nearest: [practice]"]),
        ("a mark with a capital", "Give 5 mg at once [Memory].", 1, ["“[Memory]” is no mark; nearest: [memory]"]),
        ("a citation never closed", "Give 5 mg at once [@mccrindle1994, abstract.", 1, ["begins a mark that is not closed"]),
        ("a citation with a blank", "It helps [ @mccrindle1994, abstract].", 1, ["is no mark"]),
        ("a computed number without a name", "It is [= ] wide.", 1, ["[=]: names no setting, formula or series"]),
        ("a quotation mark left open in a computed number", "It is [=balloon_ratio balloon_mm=\"20] wide.", 1, ["No closing quotation"]),
    ]),
    Group("What a chapter may not hold", "Write Markdown; cite a work by its key; keep links inside the handbook.", [
        ("a tag", "Stop <b>now</b>.", 1, ["raw HTML: “<b>”"]),
        ("a page that sends its reader on", '<meta http-equiv="refresh" content="0; url=x.html">', 1, ["raw HTML: “<meta"]),
        ("a picture by source set", '<img srcset="x.png 2x" alt="">', 1, ["raw HTML: “<img"]),
        ("an embedded object", '<object data="x.svg"></object>', 1, ["raw HTML: “<object"]),
        ("a link that tells another host", '<a href="x.html" ping="y">x</a>', 1, ["raw HTML: “<a href"]),
        ("a script", "<script>alert(1)</script>", 1, ["raw HTML: “<script>”"]),
        ("a tag that hides", "<div hidden>", 1, ["raw HTML: “<div hidden>”"]),
        ("a link out of the handbook", "More [there](https://elsewhere.example/x).", 1, ["“https://elsewhere.example/x” leads out of the handbook"]),
        ("a link without its scheme", "More [there](//elsewhere.example/x).", 1, ["leads out of the handbook"]),
        ("a link that runs", "More [there](javascript:alert(1)).", 1, ["leads out of the handbook"]),
        ("a picture from elsewhere", "![x](https://elsewhere.example/x.png)", 1, ["leads out of the handbook"]),
        ("a link by reference", "More [there].\n\n[there]: https://elsewhere.example/x", 3, ["leads out of the handbook"]),
        ("an attribute that runs", "Stop now. {: onclick=alert(1) }", 1, ["no other attribute"]),
        ("an attribute that styles", "Stop now.\n{: style=display:none }", 2, ["no other attribute"]),
    ]),
    Group("What a merge or a slip of indent leaves", "Keep one version; mend the indent; write the steps of a drill as a numbered list in its box.", [
        ("a mark of a merge", "# T\n\nStop.\nGo.\n>>>>>>> other\n", 5, ["what a merge writes"]),
        ("a sentence indented into code", "# T\n\nStop.\n\n    Give adrenaline by vein.\n", 5, ["“Give adrenaline by vein.” stands as code"]),
    ]),
    Group("Typography that changes a number", "Use a true minus, an en dash or “to” for a range, a decimal point, and a space before %.", [
        ("hyphen for a minus", "The z-score was -2 at birth [practice].", 1, ["minus sign"]),
        ("hyphen for a range", "Wait 5-10 min each time [practice].", 1, ["hyphen"]),
        ("decimal comma", "The annulus was 18,4 mm [practice].", 1, ["decimal comma"]),
        ("percent sign set tight", "It comes back in 11% [practice].", 1, ["space before %"]),
    ]),
]

AUTHOR_FAULTS = [fault for group in AUTHOR for fault in group.faults]
