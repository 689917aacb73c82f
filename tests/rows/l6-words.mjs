// Row L6: a word that no statement, block or convention knows is an error, never passed over, and the near word is offered.
import { check, folder } from "../harness/harness.mjs";

const head = 'episode "Words" { }\nwork w { title "A Study" }\n';
const inside = (line) => `${head}passage p of w {\n  meter 4/4\n  ${line}\n  part a for oboe { bar 1: 1/1 C5 }\n}\n`;

// Text, the slip in it, the word meant.
const rows = [
    [`${head}passsage p of w { }\n`, "passsage", "passage"],
    [`${head}recoding r { of w }\n`, "recoding", "recording"],
    [`${head}cliam c: C4 to E4 is a major third\n`, "cliam", "claim"],
    [`${head}spel "a" never "b"\n`, "spel", "spell"],
    [`${head}convention { parallel spelled }\n`, "convention", "conventions"],
    [`${head}citt book { title "x" }\n`, "citt", "cite"],
    [`${head}at 0:00 chaptre "One"\n`, "chaptre", "chapter"],
    [`${head}at 0:00 sya { words }\n`, "sya", "say"],
    [`${head}then slience for 2 s\n`, "slience", "silence"],
    [`${head}conventions { paralel spelled }\n`, "paralel", "parallel"],
    [`${head}conventions { parallel speled }\n`, "speled", "spelled"],
    [inside("temop 1/4 = 80"), "temop", "tempo"],
    [inside("metre 3/4"), "metre", "meter"],
    [inside("basis eer"), "eer", "ear"],
    [inside("harmoni { bar 1: 1/1 C }"), "harmoni", "harmony"],
    [`${head}work x { titel "Another" }\n`, "titel", "title"],
    [`${head}cite b { auther "A." }\n`, "auther", "author"],
    ['episode "Words" { languge en }\n', "languge", "language"],
    [`${head}recording r { of w   kind audoi }\n`, "audoi", "audio"],
    [`${head}at 0:00 show p as staf\n`, "staf", "staff"],
];

const sentences = [
    ["C4 to E4 is a majro third", "major"], ["the harmony of p alternats two chords", "alternates"], ["the harmony of p moves up a major third in real paralell motion", "parallel"],
];

export default function (group) {
    for (const [text, slip, meant] of rows) {
        const r = check("x.descant", { cwd: folder({ "x.descant": text }) });
        const line = text.slice(0, text.indexOf(slip)).split("\n").length;
        const told = r.diagnostics.map((d) => `${d.line}:${d.column} [${d.code}] ${d.message} ${JSON.stringify(d.parts)}`).join("\n");
        const at = r.diagnostics.filter((d) => d.severity === "error" && d.line === line);
        group.check(r.status === 1 && at.length > 0, `\`${slip}\` is an error`, told);
        group.check(at.some((d) => JSON.stringify([d.message, d.parts]).includes(meant)), `\`${slip}\`: \`${meant}\` is offered`, told);
    }
    for (const [sentence, meant] of sentences) {
        const r = check("x.descant", { cwd: folder({ "x.descant": inside("harmony { bar 1: 1/2 C E }") + `claim c: ${sentence}\n` }) });
        const told = r.diagnostics.map((d) => `[${d.code}] ${d.message} ${JSON.stringify(d.parts)}`).join("\n");
        group.check(r.diagnostics.some((d) => d.code === "claim-not-understood" && JSON.stringify([d.message, d.parts]).includes(meant)), `claim \`${sentence}\`: \`${meant}\` is offered`, told);
    }
}
