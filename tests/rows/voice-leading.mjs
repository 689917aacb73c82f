// Four-part pairs of chords and the faults that a table marks in them: tests/reference/data/published/voice-leading.tsv.
import { check_all } from "../harness/harness.mjs";
import { table } from "../harness/table.mjs";

const voices = ["s", "a", "t", "b"];
const pairs = ["SA", "ST", "SB", "AT", "AB", "TB"];

// The table marks these too; no claim of this catalogue speaks of them.
const unspoken = new Set(["doubled leading tone", "spacing SA"]);

function episode(row) {
    const chord = (pitches) => `(${pitches.split(" ").map((p, i) => `${voices[i]}:${p}`).join(" ")})`;
    const [first, second] = row.numerals.split(" ");
    const claims = expected(row).map(([sentence], i) => `claim c${i}: ${sentence}`);
    return `episode "pair" { }
work w { title "A Study" }
passage hymn of w {
  meter 4/4
  key ${row.key}
  part choir for piano {
    voices s a t b
    bar 1: 1/2 ${chord(row["first chord (S A T B)"])} ${chord(row["second chord (S A T B)"])}
  }
  harmony {
    bar 1: 1/2 ${first} ${second}
  }
}
${claims.join("\n")}
`;
}

function kept(row, voice) {
    const of = (chord) => row[chord].split(" ")[voices.indexOf(voice)];
    return of("first chord (S A T B)") === of("second chord (S A T B)");
}

// Sentences and the verdicts that the row's labels ask for.
function expected(row) {
    const faults = row["faults (see README for the definitions)"].split(", ");
    const has = (...labels) => (labels.some((l) => faults.includes(l)) ? "holds" : "fails");
    const moves = (still, verdict) => (still ? "undecided" : verdict);
    const list = [];
    for (const pair of pairs) {
        const [x, y] = pair.toLowerCase();
        const both = `${x} of choir and ${y} of choir`;
        // Two voices that both keep their notes say nothing about motion.
        const still = kept(row, x) && kept(row, y);
        list.push([`there are parallel fifths between ${both}`, moves(still, has(`parallel fifths ${pair}`))]);
        // Hutchinson, Objectionable Parallels: unisons are octave equivalents. The table names them apart.
        list.push([`there are parallel octaves between ${both}`, moves(still, has(`parallel octaves ${pair}`, `parallel unisons ${pair}`))]);
        list.push([`there are parallel unisons between ${both}`, moves(still, has(`parallel unisons ${pair}`))]);
        const label = (name) => has(`${name} ${pair}`, `${name} ${pair[1]}${pair[0]}`);
        list.push([`${both} cross`, label("crossing")]);
        list.push([`there is voice overlap between ${both}`, moves(still, label("overlap"))]);
    }
    list.push(["there are hidden fifths in choir", has("direct fifth SB")]);
    list.push(["there are hidden octaves in choir", has("direct octave SB")]);
    list.push([`s of choir and b of choir move in ${row["motion of the outer voices"]} motion`, "holds"]);
    list.push(["interval from bar 1 beat 1 to bar 1 beat 3 of s of choir is an augmented second", has("augmented second S")]);
    // The table judges these where V goes to I.
    const soprano = row["first chord (S A T B)"].split(" ")[0];
    if (/^V7? I$/.test(row.numerals) && row.key === "C major" && soprano.startsWith("B"))
        list.push(["the leading tone of C major resolves in s of choir", has("unresolved leading tone S") === "holds" ? "fails" : "holds"]);
    if (/^V7 I$/.test(row.numerals))
        list.push(["the seventh of the chord at bar 1 resolves", has("unresolved seventh S") === "holds" ? "fails" : "holds"]);
    return list;
}

export default function (group) {
    const rows = table("published/voice-leading.tsv");
    group.same(rows.length, 24, "rows of the table");
    const results = check_all(rows.map((row) => ({ source: episode(row) })));
    const spoken = /^(none|(parallel|direct|crossing|overlap) .*|unresolved (leading tone|seventh) S|augmented second S)$/;
    const other = new Set();
    rows.forEach((row, i) => {
        const at = `${row.numerals} ${row["first chord (S A T B)"]} to ${row["second chord (S A T B)"]}`;
        expected(row).forEach(([sentence, verdict], k) => {
            const claim = results[i].claims.find((c) => c.name === `c${k}`);
            group.check(claim?.verdict === verdict, `${at}: ${sentence}: should be ${verdict}`, claim ? `${claim.verdict}: ${claim.evidence}` : "no such claim");
        });
        for (const fault of row["faults (see README for the definitions)"].split(", "))
            if (!spoken.test(fault))
                other.add(fault);
    });
    group.same([...other].sort().join("; "), [...unspoken].sort().join("; "), "labels that no claim speaks of");
}
