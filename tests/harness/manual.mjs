// What the manual must say, from the sources and from the command itself.
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { codes, descant, root } from "./harness.mjs";

const read = (path) => readFileSync(join(root, path), "utf8");
const told = (...words) => descant(["explain", ...words]).stdout;
const cell = (text) => text.replaceAll("|", "\\|");

/* ---- claims ---------------------------------------------------------------------------------- */

// "name: meaning" and its patterns, as `descant explain claims` lists them.
export function kinds() {
    return told("claims").trimEnd().split("\n\n").map((block) => {
        const [head, ...patterns] = block.split("\n");
        const [, name, meaning] = /^([a-z-]+): (.*)$/.exec(head);
        return { name, meaning, patterns: patterns.map((p) => p.trim()) };
    });
}

// The sentences that the page of a kind shows before its sections: the first indented block.
export function sentences(name) {
    const page = told("claim", name);
    const block = /\n\n((?: {4}.*\n)+)/.exec(page.slice(0, page.indexOf("\n## ")));
    return block ? block[1].trimEnd().split("\n").map((line) => line.trim().replace(/^claim [a-z-]+: +/, "")) : [];
}

function sentence(text) {
    const full = /[.:]$/.test(text) ? text : `${text}.`;
    return full[0].toUpperCase() + full.slice(1);
}

function claims() {
    const code = new Map(codes().filter((c) => c.kind).map((c) => [c.kind.replaceAll("_", "-"), c.name]));
    return kinds().map(({ name, meaning, patterns }) => {
        const shown = sentences(name);
        return `#### ${name}\n\n${sentence(meaning)} Fails with \`${code.get(name)}\`.\n\n` +
            (shown.length ? `${shown.map((s) => `- *${s}*`).join("\n")}\n\n` : "") +
            `\`\`\`text\n${patterns.join("\n")}\n\`\`\`\n\n`;
    }).join("");
}

/* ---- conventions, codes, words, options --------------------------------------------------------- */

function conventions() {
    const names = /descant explain convention NAME\n((?: {4}\S+\n)+)/.exec(told())[1].trim().split(/\s+/);
    const rows = names.map((name) => {
        const page = told("convention", name);
        const [, meaning] = page.split("\n\n");
        const choices = [...page.matchAll(/conventions { (\S+) (\S+) }( {3}\/\/ unless stated)?/g)];
        const words = choices.map(([, , value, first]) => (first ? `**\`${value}\`**` : `\`${value}\``)).join(", ");
        const source = /Source: (.*)/.exec(page)[1];
        return `| \`${name}\` | ${words} | ${cell(meaning)} | ${cell(source)} |`;
    });
    return `| convention | choices, **the default** | what it decides | source |\n|---|---|---|---|\n${rows.join("\n")}\n`;
}

function code_table() {
    const rows = [...read("compiler/diag/codes.def").matchAll(/^DIAG\(\w+, "([^"]+)", LEVEL_(\w+), "(\w+)", "([^"]+)"\)/gm)];
    const families = [...new Set(rows.map((r) => r[3]))];
    return families.map((family) => {
        const of = rows.filter((r) => r[3] === family).map(([, name, level, , summary]) => `| \`${name}\` | ${level.toLowerCase()} | ${cell(summary)} |`);
        return `**${family[0].toUpperCase()}${family.slice(1)}**\n\n| code | level | what it says |\n|---|---|---|\n${of.join("\n")}\n`;
    }).join("\n");
}

const words = () => [...read("grammar/tokens.def").matchAll(/^KEYWORD\(\w+, "([^"]+)"\)/gm)].map((m) => m[1]);

function word_list() {
    return words().sort().map((w) => `\`${w}\``).join(" ").replace(/(.{1,110})( |$)/g, "$1\n");
}

const help = () => `\`\`\`text\n${descant(["--help"]).stdout}\`\`\`\n`;

// Parts of the manual by the name of their place.
export const generated = { claims, conventions, codes: code_table, words: word_list, help };

/* ---- what must be told somewhere ------------------------------------------------------------------ */

// The constants that an author can meet, with the file that defines each.
const limits = {
    SOURCE_MAX: "source/source.h", SCAN_DEPTH_MAX: "syntax/scan.h", BARS_MAX: "sema/music.c", STACK_MAX: "sema/parts.c",
    LAYERS_MAX: "sema/model.h", NOTE_DENOMINATOR_MAX: "sema/sema.h", NARRATION_DEPTH_MAX: "sema/narration.c",
    USE_DEPTH_MAX: "driver/uses.c", USE_FILES_MAX: "driver/uses.c", METER_GROUPS_MAX: "theory/meter.h",
    CHORD_TONES_MAX: "theory/chord.h", SCALE_TONES_MAX: "theory/scale.h", ALTER_MAX: "theory/pitch.h", OCTAVE_MAX: "theory/pitch.h",
    SENTENCE_WORDS_MAX: "claims/match.h", CLAUSES_MAX: "claims/check.h", UNCERTAIN_MAX: "claims/sound.h",
    NUMBER_MAX: "theory/interval.c",
};

// What the C writes as keys of JSON objects.
function keys() {
    const files = ["compiler/cli/report.c", "compiler/diag/render_json.c", ...readdirSync(join(root, "compiler/back")).filter((f) => /^json.*\.c$/.test(f)).map((f) => `compiler/back/${f}`)];
    const call = /(?:json_(?:str|some|int|bool|ratio|set|strings|pitch|seconds)|cJSON_Add\w+|add_words|SET_LIST)\((?:[^"()]*, )?"(\w+)"/g;
    return [...new Set(files.flatMap((f) => [...read(f).matchAll(call)].map((m) => m[1])))].sort();
}

export const sources = {
    words,
    keys,
    limits: () => Object.entries(limits).map(([name, file]) => {
        const m = new RegExp(`\\b${name} = ([0-9* ]+)`).exec(read(`compiler/${file}`));
        return { name, file, value: m ? m[1].split("*").reduce((a, b) => a * Number(b), 1) : "?" };
    }),
};
