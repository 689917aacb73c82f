// Row R2: a term has one right spelling; its listed misspellings, near misses and forms without accents are reported wherever prose
// stands: in plain words, emphasis, links, quotations, lists, across lines, at the beginning of a sentence, in capitals; in the
// titles of chapters, in facts and in readings.
import { check, folder } from "../harness/harness.mjs";

const list = `spell "Ellering" never "Elering", "Ellerring"
spell "Dvořák" never "Dvorschak"
spell "Façonnade" never "Fassonade"
spell "Né"
spell "breakwater" never "brakewater", "break water"
`;
const episode = (prose) => `episode "Spelling" { language en }\nwork w { title "A Study" }\n${list}claim it: C4 to E4 is a major third\nat 0:00 say {\n${prose}\n}\n`;

// What is wrong, and what is right.
const wrong = [["Elering", "Ellering"], ["Ellerring", "Ellering"], ["Dvorschak", "Dvořák"], ["brakewater", "breakwater"], ["break water", "breakwater"]];
const places = {
    "plain words": (w) => `So says ${w} today.`,
    "the beginning of a sentence": (w) => `${w[0].toUpperCase()}${w.slice(1)} it was.`,
    "capitals": (w) => `So says ${w.toUpperCase()} today.`,
    "emphasis": (w) => `So *says ${w} today*.`,
    "strong emphasis": (w) => `So **${w}** says.`,
    "a link": (w) => `So says [the ${w} note](claim:it).`,
    "a quotation": (w) => `> So says ${w} today.`,
    "a list": (w) => `- So says ${w} today.`,
    "a heading": (w) => `# So says ${w}`,
    "a possessive": (w) => `It is ${w}'s note.`,
    "quotation marks": (w) => `So says “${w}”.`,
    "two lines": (w) => `So says ${w.replace(" ", "\n")} today.`,
    "a hyphenated word's neighbour": (w) => `The well-known ${w} note.`,
};

// Near: one letter's change, or the accents.
const near = [["Elleringe", "Ellering"], ["Elloring", "Ellering"], ["Ellerinng", "Ellering"], ["Dvorak", "Dvořák"], ["Dvorák", "Dvořák"], ["DVORAK", "Dvořák"], ["Faconnade", "Façonnade"], ["ne", "Né"], ["Nè", "Né"], ["breakwatter", "breakwater"]];

const right = ["Ellering", "Ellering's", "ELLERING", "Dvořák", "Dvor\u030Ca\u0301k", "breakwater", "Breakwater", "breakwaters", "breaking water", "elevering", "no", "né", "NÉ", "water breaks"];

export default function (group) {
    const run = (prose) => check("x.descant", { cwd: folder({ "x.descant": episode(prose) }) });
    const told = (r) => r.diagnostics.map((d) => `${d.line}:${d.column} [${d.code}] ${d.message}`).join("\n");
    for (const [slip, meant] of wrong)
        for (const [place, make] of Object.entries(places)) {
            const r = run(make(slip)), d = r.diagnostics.find((x) => x.code === "spelled-wrong");
            group.check(d && d.severity === "error" && d.message.includes(meant), `${slip} in ${place}`, told(r));
            const fix = d?.parts.find((p) => p.kind === "fix");
            group.check(place === "two lines" || (fix && fix.replacement.toLowerCase() === meant.toLowerCase()), `${slip} in ${place}: a fix`, JSON.stringify(d));
        }
    for (const [slip, meant] of near)
        for (const place of ["plain words", "emphasis", "a link", "a list"]) {
            const r = run(places[place](slip));
            group.check(r.diagnostics.some((x) => x.code === "spelled-nearly" && x.message.includes(meant)), `${slip} in ${place} is nearly ${meant}`, told(r));
        }
    for (const word of right) {
        const r = run(places["plain words"](word));
        group.check(!r.diagnostics.some((x) => x.code.startsWith("spelled")), `${word} is right`, told(r));
    }
    // What is printed beside the narration.
    const beside = {
        "a chapter": (w) => `at 0:40 chapter "The ${w} note"`,
        "a fact": (w) => `fact f "So says ${w} today" from open "somewhere"`,
        "a reading": (w) => `reading r "${w} was like this"`,
        "a text with an escape": (w) => `reading r "\\"${w}\\" was like this"`,
    };
    for (const [slip, meant] of wrong)
        for (const [place, make] of Object.entries(beside)) {
            const text = `${episode("Words.")}${make(slip)}\n`;
            const r = check("x.descant", { cwd: folder({ "x.descant": text }) }), d = r.diagnostics.find((x) => x.code === "spelled-wrong");
            group.check(d && d.message.includes(meant) && d.line === text.slice(0, text.lastIndexOf(slip)).split("\n").length, `${slip} in ${place}`, told(r));
            const at = text.split("\n")[d ? d.line - 1 : 0].slice(d ? d.column - 1 : 0);
            group.check(/escape/.test(place) || at.startsWith(slip), `${slip} in ${place}: its place`, `${d?.column}`);
        }
    const missing = run(`${places["plain words"]("Elering")}\n\n${places["a list"]("Elering")} Elering.`);
    group.same(missing.diagnostics.filter((d) => d.code === "spelled-wrong").length, 3, "each place is told");
}
