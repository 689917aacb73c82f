// `descant explain` and `--help` (rows D1, B2).
import { descant, codes } from "../harness/harness.mjs";

export default function (group) {
    const told = (...words) => descant(["explain", ...words]);
    const says = (words, pattern) => {
        const r = told(...words);
        group.check(r.status === 0 && pattern.test(r.stdout), `explain ${words.join(" ")}`, r.stdout.slice(0, 500) + r.stderr);
    };
    says(["claims"], /parallel motion/);
    says(["parallel"], /parallel/);
    says(["claim", "pedal"], /pedal/);
    says(["instrument", "english-horn"], /^instrument english-horn \{$/m);
    says(["cor", "anglais"], /^instrument english-horn \{$/m);
    says(["instrument", "English horn"], /^instrument english-horn \{$/m);
    says(["chord", "m7b5"], /^chord half-diminished/m);
    says(["Cm7b5"], /^chord half-diminished/m);
    says(["half-diminished", "seventh"], /^chord half-diminished/m);
    says(["scale", "dorian"], /^scale dorian \{$/m);
    says(["caption-profile", "adult"], /^caption-profile adult \{$/m);
    says(["convention", "parallel"], /conventions \{ parallel spelled \}/);
    says(["pedal-gap"], /conventions \{ pedal-gap 1\/4 \}/);

    const list = told().stdout;
    for (const { name } of codes())
        group.check(list.includes(`  ${name} `), `explain lists ${name}`);
    const near = told("instrument", "english-hron");
    group.check(near.status === 2 && near.stdout === "" && /similar: `english-horn`/.test(near.stderr), "a near name is offered", near.stderr);

    const help = descant(["--help"]).stdout;
    for (const option of ["--to", "--out", "--deps", "--format", "--color", "--width", "--strict", "-W", "--max-errors", "--quiet", "--dump", "--help", "--version"])
        group.check(help.includes(`${option}`), `--help tells of ${option}`);
    for (const kind of ["md", "vtt", "srt", "mid", "json"])
        group.check(new RegExp(`^  ${kind} +\\S`, "m").test(help), `--help tells of the output ${kind}`);
    group.check(help.split("\n").every((l) => l.length <= 110), "--help keeps to 110 columns");
    group.check(/^descant \d+\.\d+\.\d+\n$/.test(descant(["--version"]).stdout), "--version");
}
