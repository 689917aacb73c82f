// The same text gives the same bytes (rows L3, D6): from any folder, in any locale and time zone, twice in a row, and with a
// byte-order mark, CRLF, CR, no final newline, or accents in the other form.
import { readdirSync, readFileSync, statSync, utimesSync } from "node:fs";
import { join } from "node:path";
import { descant, folder, lines } from "../harness/harness.mjs";
import { fine } from "../harness/samples.mjs";

const text = fine.replace("The line", "The *caf\u00e9* line, fa\u00e7ade and all,\nwith B\u266d and {braces},").replace("On Lanterns", "Caf\u00e9s");

function build(group, words, source, { env = {}, sub = "" } = {}) {
    const cwd = folder({ [join(sub, "ep.descant")]: source });
    const r = descant(["build", "--out", "out", join(sub, "ep.descant")], { cwd, env });
    group.check(r.status === 0, `${words}: builds`, r.stderr);
    const out = new Map();
    if (r.status === 0)
        for (const f of readdirSync(join(cwd, "out")).sort())
            out.set(f, readFileSync(join(cwd, "out", f)));
    return { out, cwd };
}

// The model as JSON tells columns of the source, and tabs and combining marks move those.
const without_columns = (f, bytes) => (f.endsWith(".json") ? Buffer.from(bytes.toString("utf8").replace(/"column":\s*\d+/g, "")) : bytes);

function compare(group, words, a, b, moved = false) {
    group.same([...b.keys()].join(" "), [...a.keys()].join(" "), `${words}: the same files`);
    for (const [f, bytes] of a) {
        if (!group.check(b.has(f), `${words}: ${f}`))
            continue;
        const [want, got] = [bytes, b.get(f)].map((x) => (moved ? without_columns(f, x) : x));
        group.same(got.toString("latin1"), want.toString("latin1"), `${words}: ${f} differs`);
    }
}

export default function (group) {
    const { out: plain, cwd } = build(group, "plain", text);
    group.check(plain.size >= 5, `the episode gives ${plain.size} outputs`);
    for (const [f, bytes] of plain)
        group.check(!bytes.includes(cwd), `${f} holds no path of the machine`);

    const forms = {
        "a byte-order mark": "\uFEFF" + text,
        "CRLF": text.replaceAll("\n", "\r\n"),
        "CR": text.replaceAll("\n", "\r"),
        "no final newline": text.trimEnd(),
        "decomposed accents": text.normalize("NFD"),
        "tabs": text.replace(/^ {4}/gm, "\t"),
    };
    for (const [words, source] of Object.entries(forms))
        compare(group, words, plain, build(group, words, source).out, words === "tabs" || words === "decomposed accents");

    compare(group, "another folder", plain, build(group, "another folder", text, { sub: "some where/deep" }).out);
    const env = { LC_ALL: "tr_TR.UTF-8", LANG: "de_DE.UTF-8", TZ: "Pacific/Kiritimati", HOME: "/nowhere" };
    compare(group, "another locale and time zone", plain, build(group, "another locale", text, { env }).out);

    // Unchanged outputs keep their time.
    const file = join(cwd, "out", "ep.md");
    utimesSync(file, 1000000, 1000000);
    descant(["build", "--out", "out", "ep.descant"], { cwd });
    group.check(statSync(file).mtimeMs === 1000000000, "an output that does not change is not touched");

    // Messages too: a file is said as it was named.
    const wrong = text.replace("a major third up", "a minor third up");
    const a = descant(["check", "ep.descant"], { cwd: folder({ "ep.descant": wrong }) });
    const b = descant(["check", "ep.descant"], { cwd: folder({ "ep.descant": wrong }) });
    group.check(a.stderr.length > 0, "the changed episode is wrong");
    group.same(b.stderr, a.stderr, "messages from two folders");

    // Columns count characters, in every form of the text.
    const column = (source) => lines(descant(["check", "--format", "json", "-"], { input: source }).stdout).find((o) => o.severity === "error")?.column;
    const bad = 'episode "B\u266d \u{1D12B}" { }   nonsense\n';
    group.check(column(bad) === column("\uFEFF" + bad) && column(bad) > 0, "a byte-order mark moves no column");
}
