// Figures transposed, turned over, read backwards, lengthened and shortened: tests/reference/data/published/figures.tsv.
// Each row is claimed as it stands (holds) and with its last note bent (fails).
import { check_all } from "../harness/harness.mjs";
import { table } from "../harness/table.mjs";

const steps = ["", "second", "third", "fourth", "fifth", "sixth", "seventh"];
const qualities = { m: "minor", M: "major", P: "perfect", A: "augmented", d: "diminished" };
const numbers = ["", "unison", "second", "third", "fourth", "fifth", "sixth", "seventh"];

function interval(text) {
    const [short, way] = text.split(" ");
    return `${way} a ${qualities[short[0]]} ${numbers[Number(short.slice(1))]}`;
}

// The claims that a row's operation and argument stand for, about the figures `model` and `result`.
function sentences(row) {
    const argument = row.argument;
    switch (row.operation) {
    case "inversion, diatonic":
        return [`result inverts model tonally in ${argument}`];
    case "inversion, exact":
        return [argument ? `result inverts model around ${argument}` : "result inverts model", "result is the exact inversion of model"];
    case "diatonic transposition": {
        const [, key, by] = /^(.*) by (-?\d+)$/.exec(argument);
        const way = by < 0 ? "down" : "up";
        return [`result repeats model tonally, ${way} a ${steps[Math.abs(by)]} in ${key}`];
    }
    case "chromatic transposition":
        return [`result repeats model ${interval(argument)}`, `result is a real transposition of model ${interval(argument)}`];
    case "augmentation":
        return [`result stretches model ${argument}-fold`, "result is an augmentation of model", `result is model in augmentation by ${argument}`];
    case "diminution":
        return [`result shortens model ${argument}-fold`, "result is a diminution of model", "result halves the note values of model"];
    case "retrograde":
        return ["result reverses model", "result is the retrograde of model at the same pitch"];
    case "retrograde inversion, exact":
        return ["result inverts and reverses model", "result is the retrograde inversion of model"];
    }
    return [];
}

function figure(name, pitches, durations) {
    const notes = pitches.split(" ").map((p, i) => `${durations.split(" ")[i]} ${p}`);
    return `figure ${name} { ${notes.join(" ")} }`;
}

// The last note a half step higher, on the same letter.
function bent(pitches) {
    return pitches.replace(/([A-G])(b|#*)(-?\d+)$/, (_, letter, sign, octave) => letter + (sign === "b" ? "" : `${sign}#`) + octave);
}

function episode(row, pitches) {
    return `episode "figures" { }
${figure("model", row.pitches, row["durations (whole notes)"])}
${figure("result", pitches, row["result durations"])}
${sentences(row).map((sentence, i) => `claim c${i}: ${sentence}`).join("\n")}
`;
}

export default function (group) {
    const rows = table("published/figures.tsv");
    group.same(rows.length, 16, "rows of the table");
    const cases = rows.flatMap((row) => [
        { row, verdict: "holds", source: episode(row, row["result pitches"]) },
        { row, verdict: "fails", source: episode(row, bent(row["result pitches"])) },
    ]);
    const results = check_all(cases);
    cases.forEach(({ row, verdict }, i) => {
        const at = `${row.figure}, ${row.pitches}, ${row.operation} ${row.argument}`;
        group.check(sentences(row).length > 0, `${at}: no claim for this operation`);
        sentences(row).forEach((sentence, k) => {
            const claim = results[i].claims.find((c) => c.name === `c${k}`);
            group.check(claim?.verdict === verdict, `${at}: ${sentence}: should be ${verdict}`, claim ? `${claim.verdict}: ${claim.evidence}` : "no such claim");
        });
    });
}
