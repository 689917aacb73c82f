// Row D4: a build that is killed leaves every output as it was before or as it should be, never half written.
import { spawn } from "node:child_process";
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { descant, folder, program } from "../harness/harness.mjs";
import { fine } from "../harness/samples.mjs";

// So long that writing takes its time.
const episode = (word) => fine.replace("Now listen to it once more,", `${`${word} listen to it once more, `.repeat(4000)}`).replace("from 0:30 to 0:41 {", "from 0:30 to 59:41 {");

function outputs(cwd) {
    const out = new Map();
    for (const f of readdirSync(join(cwd, "out")))
        if (!f.includes(".tmp-"))
            out.set(f, readFileSync(join(cwd, "out", f), "latin1"));
    return out;
}

function whole(group, word) {
    const cwd = folder({ "x.descant": episode(word) });
    const r = descant(["build", "x.descant"], { cwd });
    group.check(r.status === 0, `${word} builds`, r.stderr.slice(0, 500));
    return { cwd, files: outputs(cwd) };
}

const ended = (child) => new Promise((done) => child.on("exit", (status, signal) => done(signal)));

export default async function (group) {
    const before = whole(group, "Now"), after = whole(group, "Then");
    const changed = [...before.files].filter(([f, bytes]) => bytes !== after.files.get(f)).length;
    group.check(changed >= 3, `${changed} outputs differ between the two texts`);
    let killed = 0;
    for (let i = 0; i < 24; i++) {
        const cwd = before.cwd;
        writeFileSync(join(cwd, "x.descant"), episode(i % 2 ? "Now" : "Then"));
        const child = spawn(program, ["build", "--quiet", "x.descant"], { cwd, stdio: "ignore" });
        const end = ended(child);
        setTimeout(() => child.kill("SIGKILL"), 1 + i * 3);
        killed += (await end) === "SIGKILL";
        const found = outputs(cwd);
        group.same([...found.keys()].sort().join(" "), [...before.files.keys()].sort().join(" "), `kill ${i}: the files are all there`);
        const broken = [...found].filter(([f, bytes]) => bytes !== before.files.get(f) && bytes !== after.files.get(f)).map(([f]) => f);
        group.check(broken.length === 0, `kill ${i}: every file is the old or the new one`, broken.join(" "));
    }
    group.check(killed >= 3, `${killed} of 24 builds were killed before their end`);
    // And the next build is as if nothing had been.
    writeFileSync(join(before.cwd, "x.descant"), episode("Then"));
    group.check(descant(["build", "--quiet", "x.descant"], { cwd: before.cwd }).status === 0, "the next build is fine");
    const last = outputs(before.cwd);
    group.check([...after.files].every(([f, bytes]) => last.get(f) === bytes), "and its outputs are whole");
}
