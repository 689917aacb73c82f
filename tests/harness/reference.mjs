// grammar/reference.md. Its examples run; its tables are made from what the command says; what the sources define is in it.
// (Row B4.)
//
// An example is fenced with an info string: `descant`, where it stands, what comes of it.
//   where:  nothing  a whole file, or statements of an episode that has the work `w`
//           part     statements behind those of the ```descant prelude block
//           passage  lines of a passage; bars: of a part in 4/4; chords: of a harmony in 4/4 and C major
//           file NAME  a library that other examples `use`
//   what:   nothing  no errors, no warnings, every claim holds
//           fails CODE, gives CODE (a warning or note, no error), undecided (every claim is, and nothing else is wrong);
//           a comment in the example says the same to the reader: `// CODE`, `// undecided`
//
// `make bless` rewrites what stands between <!-- begin NAME --> and <!-- end NAME -->.
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { check_all, crashed, examples, Group, root, show, whole } from "./harness.mjs";
import { generated, kinds, sentences, sources } from "./manual.mjs";

const path = join(root, "grammar/reference.md");

const indent = (text) => text.replace(/^(?=.)/gm, "  ");
const wrap = {
    part: (text, prelude) => whole(prelude + text),
    passage: (text) => whole(`passage p of w {\n${indent(text)}}\n`),
    bars: (text) => whole(`passage p of w {\n  meter 4/4\n  part a for piano {\n${indent(indent(text))}  }\n}\n`),
    chords: (text) => whole(`passage p of w {\n  meter 4/4\n  key C major\n  harmony {\n${indent(indent(text))}  }\n}\n`),
};

function read_cases(group) {
    const all = examples(path);
    const prelude = all.find((e) => e.words[0] === "prelude");
    group.check(prelude, "there is no prelude");
    const files = {}, cases = [];
    for (const e of all) {
        let words = e.words, source = whole(e.text);
        if (words[0] === "file") {
            files[words[1]] = e.text;
            words = words.slice(2);
        } else if (words[0] === "prelude") {
            words = words.slice(1);
        } else if (wrap[words[0]]) {
            source = wrap[words[0]](e.text, prelude?.text ?? "");
            words = words.slice(1);
        }
        const known = words.length === 0 || (words.length === 1 && words[0] === "undecided") || (words.length === 2 && ["fails", "gives"].includes(words[0]));
        if (!group.check(known, `grammar/reference.md:${e.line}: unknown words after descant: ${e.words.join(" ")}`))
            continue;
        cases.push({ ...e, what: words[0] ?? "", code: words[1], source });
        const said = words[1] ?? words[0];
        group.check(!said || new RegExp(`// ${said}\\b`).test(e.text), `grammar/reference.md:${e.line}: the example does not say ${said}`);
    }
    return { cases, files };
}

function judge(group, { line, what, code }, r) {
    const at = `grammar/reference.md:${line}`;
    const found = r.diagnostics.map(show).join("\n") + r.claims.map((c) => `\n${c.name} ${c.verdict}: ${c.reason}`).join("");
    const of_level = (...levels) => r.diagnostics.filter((d) => levels.includes(d.severity));
    if (!group.check(!crashed(r), `${at}: crashes`, r.stderr))
        return;
    if (what === "fails") {
        group.check(of_level("error").some((d) => d.code === code), `${at}: fails with ${code}`, found);
        group.check(of_level("error").every((d) => [code, "words-claim-fails"].includes(d.code)), `${at}: and with nothing else`, found);
    } else if (what === "gives") {
        group.check(r.diagnostics.some((d) => d.code === code && d.severity !== "error"), `${at}: gives ${code}`, found);
        group.check(of_level("error").length === 0, `${at}: has no error`, found);
    } else if (what === "undecided") {
        group.check(r.claims.length > 0 && r.claims.every((c) => c.verdict === "undecided"), `${at}: claims are undecided`, found);
        group.check(of_level("error", "warning").length === 0, `${at}: has no errors or warnings`, found);
    } else {
        group.check(of_level("error", "warning").length === 0, `${at}: has no errors or warnings`, found);
        group.check(r.claims.every((c) => c.verdict === "holds"), `${at}: every claim holds`, found);
    }
}

function check_examples(group) {
    const { cases, files } = read_cases(group);
    group.check(cases.length > 60, `grammar/reference.md has ${cases.length} examples`);
    check_all(cases, files).forEach((r, i) => judge(group, cases[i], r));
}

function check_generated(group, bless) {
    let text = readFileSync(path, "utf8");
    for (const [name, make] of Object.entries(generated)) {
        const begin = `<!-- begin ${name} -->\n`, end = `<!-- end ${name} -->`;
        const from = text.indexOf(begin), to = text.indexOf(end);
        if (!group.check(from >= 0 && to > from, `the manual has no place for ${name}`))
            continue;
        const want = make(), got = text.slice(from + begin.length, to);
        if (bless)
            text = text.slice(0, from + begin.length) + want + text.slice(to);
        else
            group.same(got, want, `${name} is stale: make bless`);
    }
    if (bless)
        writeFileSync(path, text);
}

// The sentences shown with each kind are understood, and speak of what the examples define.
function check_sentences(group) {
    const prelude = examples(path).find((e) => e.words[0] === "prelude")?.text ?? "";
    const more = "figure motto { 1/4 C5 D5 1/2 Eb5 }\nfigure tune { 1/4 C5 D5 }\nfigure run { 1/8 C5 D5 E5 F#5 }\n";
    const all = kinds().flatMap(({ name }) => sentences(name));
    group.check(all.length > 100, `${all.length} sentences are shown`);
    // A second passage, for sentences that compare two; from a library, so that `lamp` stays the only one of the episode.
    const library = `library "bell"\nwork bell-cue { title "The Bell" }\npassage bell of bell-cue {\n  meter 4/4\n  tempo 1/4 = 160\n  part toll for tubular-bells { bar 1: 1/1 E4 }\n}\n`;
    const claims = all.map((s, i) => `claim shown-${i}: ${s}\n`).join("");
    const source = `episode "test" { use "bell.descant" }\nwork w { title "A Study" }\n${prelude}${more}${claims}`;
    const [r] = check_all([{ source }], { "bell.descant": library });
    const unread = r.diagnostics.filter((d) => ["claim-not-understood", "claim-names-nothing", "syntax"].includes(d.code));
    group.check(unread.length === 0, "sentences shown with the kinds are understood", unread.map(show).join("\n"));
    group.same(r.claims.filter((c) => c.claimKind).length, all.length, "each has a kind");
}

// What the sources define is written of: each word, key and limit.
function check_complete(group) {
    const text = readFileSync(path, "utf8");
    const spans = new Set([...text.matchAll(/`([^`\n]+)`/g)].flatMap((m) => m[1].split(/\s+/)));
    for (const word of sources.words())
        group.check(new RegExp(`(^|[^a-z-])${word}([^a-z-]|$)`, "m").test(text), `the word ${word} of the language is not in the manual`);
    for (const { name, value, file } of sources.limits())
        group.check(new RegExp(`\\b${value}\\b.*\`${name}\`|\`${name}\`.*\\b${value}\\b`).test(text.replaceAll(/(\d) (?=\d{3})/g, "$1")), `the limit ${name}, ${value}, of ${file} is not in the manual`);
    for (const key of sources.keys())
        group.check(spans.has(key), `the JSON key ${key} is not in the manual`);
}

export function run(bless) {
    const group = new Group("reference");
    if (!group.check(existsSync(path), "grammar/reference.md is missing"))
        return group.end();
    check_generated(group, bless);
    check_examples(group);
    check_sentences(group);
    check_complete(group);
    return group.end();
}
