"""Print the detection matrix of `check --json` and fail unless everything in it is right.

A sample of the slips proves nothing by itself, so how many of how many were tried is said.
"""

import json
import sys

KINDS = ("omitted", "late", "early", "wrong value", "wrong words", "trap")

with open(sys.argv[1], encoding="utf-8") as file:
    found = json.load(file)
wrong = 0
print(f"{'exercise':<24}" + "".join(f"{kind:>13}" for kind in KINDS) + "  correct crews")
for one in found["results"]:
    if not one["valid"]:
        wrong += 1
        print(f"{one['path']:<24} is not valid: {one['problems'][0]['message']}")
        continue
    cells = []
    for kind in KINDS:
        tried = [slip for slip in one["matrix"] if slip["mutant"].startswith(f"{kind}: ")]
        exact = len([slip for slip in tried if slip["exact"]])
        cells.append(f"{f'{exact} of {len(tried)}' if tried else '-':>13}")
    crews = len(one["other_crews"])
    print(f"{one['path']:<24}" + "".join(cells) + f"  {crews} others")
    mutants = one["mutants"]
    total = mutants["tried"] + mutants["untried"]
    print(
        f"{'':<24}  {mutants['exact']} of {mutants['tried']} tried are exact, of {total} in all; "
        f"{mutants['not_applicable']} have no meaning; {one['flights']} flights"
    )
    for slip in one["misjudged"]:
        print(f"    {slip['mutant']}: found {slip['found'] or 'nothing'}")
    for crew in one["imperfect"]:
        print(f"    correct, but {crew['drawn']}: {crew['found'] or crew['due_before_open']}")
    wrong += len(one["misjudged"]) + len(one["imperfect"])
print(f"precision {found['precision']:.3f}, recall {found['recall']:.3f}")
sys.exit(1 if wrong or found["precision"] < 1.0 or found["recall"] < 1.0 else 0)
