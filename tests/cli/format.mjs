// `descant format`: one style, nothing else changed. Every file that can be read keeps its tokens and its model, and a second
// run changes nothing.
import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { basename, dirname, join } from "node:path";
import { crashed, descant, examples, folder, root, whole } from "../harness/harness.mjs";
import { broken, fine } from "../harness/samples.mjs";

const listed = (dir, fits) => (existsSync(join(root, dir)) ? readdirSync(join(root, dir)).filter(fits).sort().map((f) => join(root, dir, f)) : []);

// Every Descant file of the project that is meant to be one.
function files() {
    const named = (f) => f.endsWith(".descant");
    const ok = (f) => /^ok[a-z0-9-]*\.descant$/.test(f);
    return [...listed("examples", named), ...listed("stdlib", named), ...listed("tests/golden", named),
            ...readdirSync(join(root, "tests/diag")).sort().flatMap((code) => listed(`tests/diag/${code}`, ok))];
}

// What stands on other columns or line ends is the same; a closing brace takes the blanks of its line along.
const tokens = (text, cwd) => descant(["check", "--quiet", "--dump=tokens", "-"], { cwd, input: text }).stdout
    .replace(/^\d+:\d+ /gm, "").replaceAll("\r", "").replace(/`\s*}\s*`/g, "`}`");
const model = (text, cwd) => descant(["check", "--quiet", "--dump=model", "-"], { cwd, input: text }).stdout;
const formatted = (text, cwd) => descant(["format", "-"], { cwd, input: text });

// The same file as other editors would leave it.
const mangled = {
    "as it is": (t) => t,
    "with CRLF": (t) => t.replaceAll("\n", "\r\n"),
    "with tabs": (t) => t.replace(/^(?!\s*}\s*$)/gm, "\t"),
    "with five blanks before each line": (t) => t.replace(/^/gm, "     "),
    "with blanks at line ends": (t) => t.replace(/$/gm, "  "),
    "with a byte-order mark and three empty lines": (t) => `\uFEFF\n\n\n${t.replace(/\n(?=\w)/g, "\n\n\n\n")}\n\n`,
};

function check_text(group, text, words, cwd) {
    const r = formatted(text, cwd);
    if (!group.check(!crashed(r), `${words}: crashes`, r.stderr))
        return false;
    if (r.status === 1) {
        group.check(r.stdout === "" && /error\[/.test(r.stderr), `${words}: left alone, with its mistakes`, r.stdout);
        return false;
    }
    group.same(formatted(r.stdout, cwd).stdout, r.stdout, `${words}: a second run changes nothing`);
    group.same(tokens(r.stdout, cwd), tokens(text, cwd), `${words}: the tokens stay`);
    group.same(model(r.stdout, cwd), model(text, cwd), `${words}: the model stays`);
    group.check(!/[ \t]$/m.test(r.stdout.replace(/say \{[^]*?^}/gm, "say")), `${words}: no blanks at line ends`);
    return true;
}

function check_all_files(group) {
    let read = 0;
    for (const file of files()) {
        const text = readFileSync(file, "utf8");
        for (const [how, change] of Object.entries(mangled))
            read += check_text(group, change(text), `${file.slice(root.length + 1)} ${how}`, dirname(file));
    }
    const pages = listed("compiler/diag/explain", (f) => f.endsWith(".md"));
    for (const e of pages.flatMap((page) => examples(page)).filter((e) => e.words[0] === "good"))
        read += check_text(group, whole(e.text), `${basename(e.path)}:${e.line}`, root);
    group.check(read > 100, `most of them can be read: ${read}`);
    const shown = listed("examples", (f) => f.endsWith(".descant") && f !== "mistakes.descant").concat(listed("stdlib", (f) => f.endsWith(".descant")));
    const r = descant(["format", "--check", ...shown]);
    group.check(r.status === 0 && r.stdout === "", "examples and library are in the one style", r.stdout + r.stderr);
}

// Layout by layout: before, after.
const layouts = [
    ["blocks", "passage p of w {\n        meter 4/4\n   part a for oboe {\n bar 1: 1/1 C5\n }\n}\n",
     "passage p of w {\n  meter 4/4\n  part a for oboe {\n    bar 1: 1/1 C5\n  }\n}\n"],
    ["a line that goes on keeps its distance", "claim a: C4 to E4 is\n            a major third up\n", "claim a: C4 to E4 is\n            a major third up\n"],
    ["and moves along with its statement", "passage p of w {\n      heard in r 0:01 to\n         0:02\n}\n", "passage p of w {\n  heard in r 0:01 to\n     0:02\n}\n"],
    ["it stays behind its statement", "work w { title \"A\"\n   from \"B\" }\ncite b { author \"A\",\n                  \"B\" }\n",
     "work w { title \"A\"\n  from \"B\" }\ncite b { author \"A\",\n                  \"B\" }\n"],
    ["columns inside a line stay", "work   w   {  title   \"A\"   // of  a work\n}\n", "work   w   {  title   \"A\"   // of  a work\n}\n"],
    ["comments stand with what follows", "   // one\npassage p of w {\n// two\nmeter 4/4\n// three\n}\n// four\n",
     "// one\npassage p of w {\n  // two\n  meter 4/4\n  // three\n}\n// four\n"],
    ["narration stays to the letter", "  at 0:00 say {\n   Two blanks at the end  \n\n\n\n\tand a tab.\n  }\n", "at 0:00 say {\n   Two blanks at the end  \n\n\n\n\tand a tab.\n}\n"],
    ["empty lines", "\n\nwork w { }\n\n\n\nwork v { }\n\n\n", "work w { }\n\nwork v { }\n"],
    ["line ends", "work w {\r\n  title \"A\"   \r\n}\rwork v { }", "work w {\n  title \"A\"\n}\nwork v { }\n"],
];

export default function (group) {
    check_all_files(group);
    for (const [words, before, after] of layouts)
        group.same(formatted(before).stdout, after, words);

    const messy = fine.replace(/^ {4}/gm, "\t\t");
    const cwd = folder({ "messy.descant": messy, "broken.descant": broken, "tidy.descant": formatted(fine).stdout });
    const bytes = (name) => readFileSync(join(cwd, name), "utf8");
    const check = descant(["format", "--check", "messy.descant", "tidy.descant"], { cwd });
    group.check(check.status === 1 && check.stdout === "messy.descant\n", "--check lists what would change", check.stdout + check.stderr);
    group.same(bytes("messy.descant"), messy, "--check changes nothing");
    group.check(descant(["format", "--check", "tidy.descant"], { cwd }).status === 0, "--check is content with a tidy file");
    group.same(descant(["format", "--check", "-"], { cwd, input: messy }).stdout, "<stdin>\n", "--check names standard input");

    const before = statSync(join(cwd, "tidy.descant")).mtimeMs;
    const run = descant(["format", "messy.descant", "broken.descant", "tidy.descant"], { cwd });
    group.check(run.status === 1 && run.stdout === "", "a file with mistakes ends in status 1", run.stdout);
    group.check(/^broken\.descant:\d+:\d+: error\[/m.test(run.stderr) && /\n1 error\n$/.test(run.stderr), "and they are reported", run.stderr);
    group.same(bytes("broken.descant"), broken, "and it is left alone");
    group.same(bytes("messy.descant"), formatted(messy).stdout, "the others are rewritten");
    group.same(statSync(join(cwd, "tidy.descant")).mtimeMs, before, "a tidy file is not touched");
    group.check(descant(["format", "messy.descant"], { cwd }).stderr === "", "a clean run is silent");
    group.same(readdirSync(cwd).map((f) => basename(f)).sort().join(" "), "broken.descant messy.descant tidy.descant", "no other file is left behind");

    for (const args of [["format"], ["format", "missing.descant"], ["format", "--to", "md", "tidy.descant"], ["check", "--check", "tidy.descant"]])
        group.same(descant(args, { cwd }).status, 2, `descant ${args.join(" ")}: status 2`);
    group.check(descant(["format", "-"], { cwd, input: Buffer.from([0xff, 0x41, 0x0a]) }).status === 1, "bytes that are no text are refused");
}
