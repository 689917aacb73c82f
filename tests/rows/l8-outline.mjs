// Row L8: with any one token of a file taken out, every other statement is read as before (that there are at most two errors then is
// asked in cli/recovery.mjs).
import { descant, folder } from "../harness/harness.mjs";
import { fine } from "../harness/samples.mjs";

function tokens(text) {
    const prose = [...text.matchAll(/say[^\n{]*\{\n[\s\S]*?\n\}|say[^\n{]*\{.*\}/g)].map((m) => [m.index + m[0].indexOf("{") + 1, m.index + m[0].length - 1]);
    return [...text.matchAll(/"[^"\n]*"|[\w#:./-]+|[{}(),=|]/g)].filter((m) => !prose.some(([lo, hi]) => m.index >= lo && m.index < hi));
}

// The statements of a tree, each with its nodes, offsets counted from its own beginning.
function statements(tree) {
    const found = [];
    for (const line of tree.split("\n")) {
        const m = /^( *)(\S+) (\d+)\.\.(\d+)(.*)$/.exec(line);
        if (!m || m[1].length < 2)
            continue;
        const [, blanks, kind, lo, hi, text] = m;
        if (blanks.length === 2)
            found.push({ lo: Number(lo), nodes: [] });
        const top = found.at(-1);
        top.nodes.push(`${blanks}${kind} ${lo - top.lo}..${hi - top.lo}${text}`);
    }
    return found.map((s) => ({ lo: s.lo, text: s.nodes.join("\n") }));
}

const tree_of = (text) => descant(["check", "--dump", "tree", "x.descant"], { cwd: folder({ "x.descant": text }) }).stdout;

export default function (group) {
    const whole = statements(tree_of(fine));
    group.check(whole.length === 12, `the tree has ${whole.length} statements`, tree_of(fine));
    let others = 0;
    for (const m of tokens(fine)) {
        const own = whole.filter((s) => s.lo <= m.index).at(-1);
        // A blank left at the beginning of a line would make it a part of the statement above.
        const rest = fine.slice(m.index + m[0].length), before = fine.slice(0, m.index);
        const text = before + (before.endsWith("\n") ? rest.trimStart() : rest);
        const found = new Set(statements(tree_of(text)).map((s) => s.text));
        const missing = whole.filter((s) => s !== own && !found.has(s.text));
        others += whole.length - 1 - missing.length;
        group.check(missing.length === 0, `without \`${m[0]}\` of line ${fine.slice(0, m.index).split("\n").length} the others are read as before`, missing.map((s) => s.text).join("\n"));
    }
    group.check(others > 900, `${others} statements were compared`);
}
