// The examples in the page of each claim kind, compiler/claims/ID.md: ```descant holds, ```descant fails CODE,
// ```descant undecided. Every claim in a block must get that verdict. (Rows T3, T5, T6, T7, T10, D1.)
import { existsSync } from "node:fs";
import { join } from "node:path";
import { check_all, codes, crashed, examples, Group, root, show, whole } from "./harness.mjs";

const verdicts = ["holds", "fails", "undecided"];
const least = { holds: 2, fails: 2, undecided: 1 };

function judge(group, example, result) {
    const [verdict, code] = example.words;
    const at = `${example.path.slice(root.length + 1)}:${example.line}`;
    const found = result.diagnostics.filter((d) => d.severity === "error").map(show).join("\n");
    if (!group.check(!crashed(result), `${at}: crashes`, result.stderr))
        return;
    group.check(result.claims.length > 0, `${at}: has no claim`, found);
    for (const claim of result.claims) {
        group.check(claim.verdict === verdict, `${at}: claim ${claim.name} should be: ${verdict}`, `${claim.verdict}: ${claim.reason || claim.evidence}`);
        group.check(claim.evidence.length > 0, `${at}: claim ${claim.name} has no evidence`, found);
    }
    const errors = result.diagnostics.filter((d) => d.severity === "error");
    if (verdict !== "fails") {
        group.check(errors.length === 0, `${at}: has errors`, found);
        return;
    }
    // A claim with `not` that fails has a code of its own, whatever its kind.
    const fits = (d) => d.code === code || d.code === "claim-fails";
    group.check(errors.length >= result.claims.length && errors.every(fits) && errors.some((d) => d.code === code), `${at}: each claim fails with ${code} and nothing else is wrong`, found);
}

export function run() {
    const group = new Group("claims");
    const kinds = codes().filter((c) => c.kind);
    const cases = [];
    for (const { kind } of kinds) {
        const path = join(root, "compiler/claims", `${kind}.md`);
        if (!group.check(existsSync(path), `compiler/claims/${kind}.md is missing`))
            continue;
        for (const example of examples(path)) {
            const known = verdicts.includes(example.words[0]) && (example.words[0] === "fails") === (example.words.length === 2);
            if (group.check(known, `${path}:${example.line}: unknown words after descant: ${example.words.join(" ")}`))
                cases.push({ ...example, kind, source: whole(example.text) });
        }
    }
    const results = check_all(cases);
    cases.forEach((example, i) => judge(group, example, results[i]));
    for (const { kind } of kinds)
        for (const verdict of verdicts) {
            const of_kind = (claim) => claim.verdict === verdict && claim.claimKind?.replaceAll("-", "_") === kind;
            const n = results.filter((_, i) => cases[i].kind === kind).flatMap((r) => r.claims).filter(of_kind).length;
            group.check(n >= least[verdict], `${kind}: ${n} claims in its page are "${verdict}", at least ${least[verdict]} are needed`);
        }
    return group.end();
}
