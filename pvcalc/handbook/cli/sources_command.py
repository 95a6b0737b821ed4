"""`python -m pvcalc sources`: what the cited works are like, and which of them no reader can find."""

import json


def add_command(commands):
    """`python -m pvcalc sources`: counts of the works by grade and by how they were read."""
    parser = commands.add_parser("sources", help="count the cited works by grade and by how they were read")
    parser.add_argument("--json", action="store_true", help="as data, with the argument for each work without an identifier")
    parser.set_defaults(run=_run)


def _run(chosen):
    from pvcalc.handbook.data import cited, project
    found = cited.summary(project.sound(chosen.root))
    faulty = found["without_title"] + found["not_findable"]
    if chosen.json:
        print(json.dumps(found, ensure_ascii=False, indent=1))
        return 1 if faulty else 0
    print(f"{found['works']} works, {found['identified']} with an identifier or with journal, volume and page")
    for name in ("by_grade", "by_seen"):
        print(", ".join(f"{word} {number}" for word, number in found[name].items()))
    print(f"found by other means, argued for each: {len(found['found_by'])}; cited by nothing: {', '.join(found['uncited']) or 'none'}")
    for key in faulty:
        print(f"{key}: no title, or no way to find it")
    return 1 if faulty else 0
