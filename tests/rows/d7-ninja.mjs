// Row D7: the dependency file as ninja reads it, with spaces, # and $ in names, where ninja is installed (make reads it in cli/deps.mjs).
import { spawnSync } from "node:child_process";
import { readdirSync, statSync, utimesSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { descant, folder, program } from "../harness/harness.mjs";
import { fine } from "../harness/samples.mjs";

const library = 'library "terms"\nspell "lantern" never "lanturn"\n';

export default function (group) {
    const odd = "a b#c$d";
    const cwd = folder({
        [`${odd}.descant`]: fine.replace("{ language", '{ use "my terms#1.descant"   language'),
        "my terms#1.descant": library,
        "build.ninja": `rule descant\n  command = '${program}' build --quiet --to md --deps odd.d 'a b#c$$d.descant'\n  depfile = odd.d\n  restat = 1\nbuild out/a$ b#c$$d.md: descant a$ b#c$$d.descant\n`,
    });
    const ninja = () => spawnSync("ninja", ["-v"], { cwd, encoding: "utf8" });
    const first = ninja();
    if (first.error) { // not among the packages that the tests ask for
        group.check(first.error.code === "ENOENT", "ninja can be asked for", String(first.error));
        return;
    }
    group.check(first.status === 0 && /build --quiet/.test(first.stdout), "ninja builds at first", first.stdout + first.stderr);
    group.check(/no work to do/.test(ninja().stdout), "ninja has nothing to do then", ninja().stdout);
    writeFileSync(join(cwd, "my terms#1.descant"), library.replace("lanturn", "lantarn"));
    const soon = Date.now() / 1000 + 5;
    utimesSync(join(cwd, "my terms#1.descant"), soon, soon);
    const again = ninja();
    group.check(again.status === 0 && /build --quiet/.test(again.stdout), "ninja builds again when a library with odd letters changes", again.stdout + again.stderr);

    // An output that comes out the same keeps its time, whatever it is.
    descant(["build", `${odd}.descant`], { cwd });
    const files = readdirSync(join(cwd, "out"));
    files.forEach((f) => utimesSync(join(cwd, "out", f), 1000000, 1000000));
    group.check(files.length >= 7, `${files.length} outputs`);
    descant(["build", `${odd}.descant`], { cwd });
    for (const f of files)
        group.check(statSync(join(cwd, "out", f)).mtimeMs === 1000000000, `${f} is not touched`);
    writeFileSync(join(cwd, `${odd}.descant`), fine.replace("once more", "once again"));
    descant(["build", `${odd}.descant`], { cwd });
    const touched = files.filter((f) => statSync(join(cwd, "out", f)).mtimeMs !== 1000000000).sort();
    group.check(touched.length > 0 && touched.every((f) => /\.(md|vtt|srt|json)$/.test(f)), "only what changed is written", touched.join(" "));
}
