// Row L2, for claims: a sentence about a passage of many bars takes no longer than a second a megabyte of the file, whatever its kind.
// Three sentences of each kind, from its page, are said of one long passage.
import { readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { crashed, descant, examples, folder, program, root } from "../harness/harness.mjs";

const BARS = 1500, EACH = 3;

const rows = (make) => Array.from({ length: BARS }, (_, i) => `    bar ${i + 1}: ${make("CDEFGAB"[i % 7], i)}`).join("\n");
const passage = `episode "Long" { language en }
work w { title "A Study" }
recording film { of w   kind picture   frames 24   starts 01:00:00:00 }
passage lamp of w {
  meter 4/4
  tempo 1/4 = 80
  key Eb major
  part strings for violins, violas, cellos {
${rows(() => "1/2 (Eb3 G3 Bb3 D4 F#4 A4) (Cb3 Eb3 Gb3 Bb3 D4 F4)")}
  }
  part reed for oboe {
${rows((letter) => `1/8 E4 F4 1/4 ${letter}4 1/2 D#4`)}
  }
  part pipe for flute {
${rows((letter, i) => `1/8 G#5 A5 1/4 ${letter}5 1/2 ${i % 50 ? "F##5" : "G5"}`)}
  }
  part deep for contrabassoon sounding {
${rows(() => "1/1 G1")}
  }
  harmony {
${rows(() => "1/2 D over Eb Bb over Cb")}
  }
  figure call is reed bar 1 to bar ${BARS}
  figure answer is pipe bar 1 to bar ${BARS}
}
`;

// The names of an example are put in the place of ours: its passages, its parts in order, its figures in order.
function fitted(text) {
    const names = (pattern) => [...text.matchAll(pattern)].map((m) => m[1]);
    const ours = new Map();
    names(/^ *passage ([a-z0-9-]+)/gm).forEach((n) => ours.set(n, "lamp"));
    names(/^ *part ([a-z0-9-]+)/gm).forEach((n, i) => ours.set(n, ["strings", "reed", "pipe", "deep"][i % 4]));
    names(/^ *figure ([a-z0-9-]+)/gm).forEach((n, i) => ours.set(n, i % 2 ? "answer" : "call"));
    return [...text.matchAll(/^ *claim [a-z0-9-]+: *((?:.*\n?)(?: {8,}.*\n)*)/gm)].map(([, sentence]) =>
        sentence.replace(/\s+/g, " ").replace(/,? (in|from|at)? ?bars? \d+.*$/, "").trim().replace(/[a-z][a-z0-9-]*/g, (w) => ours.get(w) ?? w));
}

function sentences() {
    const all = new Map();
    for (const page of readdirSync(join(root, "compiler/claims")).filter((f) => f.endsWith(".md")).sort())
        all.set(page.slice(0, -3), [...new Set(examples(join(root, "compiler/claims", page)).flatMap((e) => fitted(e.text)))].slice(0, EACH));
    return all;
}

export default function (group) {
    if (/asan/.test(program)) // time is measured; what the sanitizers look for has been seen in the pages
        return;
    const cwd = folder(), megabytes = Buffer.byteLength(passage) / 1e6;
    let tried = 0;
    for (const [kind, list] of sentences())
        for (const sentence of list) {
            writeFileSync(join(cwd, "x.descant"), `${passage}claim it: ${sentence}\n`);
            let seconds = Infinity, r;
            for (let tries = 0; tries < 4 && seconds > megabytes; tries++) { // the machine may be busy with something else
                const start = process.hrtime.bigint();
                r = descant(["check", "--max-errors", "1", "x.descant"], { cwd });
                seconds = Math.min(seconds, Number(process.hrtime.bigint() - start) / 1e9);
            }
            tried++;
            group.check(!crashed(r) && seconds <= megabytes, `${kind}: ${sentence}: ${seconds.toFixed(2)} s for ${megabytes.toFixed(2)} MB`, r.stderr.slice(-300));
        }
    group.check(tried > 150, `${tried} sentences`);
}
