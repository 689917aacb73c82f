// Many files in one run are worked on at the same time and told of in the order given: the same bytes as one after the other.
import { descant, folder } from "../harness/harness.mjs";
import { broken, fails, fine, open } from "../harness/samples.mjs";

const FILES = 60;
// Of unequal length, so that later files are ready before earlier ones.
const long = (text, n) => text.replace("at 0:15 chapter", `${"// filled up\n".repeat(n % 7 === 0 ? 20000 : n)}at 0:15 chapter`);
const kinds = [fine, fails, open, broken];

function write() {
    const files = {};
    for (let i = 0; i < FILES; i++)
        files[`episode-${i}.descant`] = long(kinds[i % kinds.length], i);
    return folder(files);
}

export default function (group) {
    const cwd = write();
    const names = [];
    for (let i = 0; i < FILES; i++)
        names.push(i % 23 === 22 ? `missing-${i}.descant` : `episode-${i}.descant`);
    for (const form of ["text", "json"]) {
        const words = ["check", "--quiet", "--max-errors", "0", "--format", form];
        const all = descant([...words, ...names], { cwd });
        const single = names.map((name) => descant([...words, name], { cwd }));
        group.check(all.status === 2, `${form}: a missing file among many is an error of the world`, `${all.status}`);
        group.same(all.stderr, single.map((r) => r.stderr).join(""), `${form}: standard error is that of the files one after the other`);
        const objects = (text) => text.split("\n").filter((l) => l && !/"version"|"kind":"summary"/.test(l)).join("\n");
        group.same(objects(all.stdout), single.map((r) => objects(r.stdout)).filter(Boolean).join("\n"), `${form}: and so is standard output`);
        for (let i = 0; i < 3; i++)
            group.same(descant([...words, ...names], { cwd }).stdout, all.stdout, `${form}: again the same`);
    }
    const built = descant(["build", "--out", "out", ...names.filter((n) => n.startsWith("e"))], { cwd });
    const told = built.stdout.split("\n").filter((l) => /^episode-/.test(l)).map((l) => l.split(":")[0]);
    group.same(told.join(" "), names.filter((n) => n.startsWith("e")).join(" "), "build tells of the files in order");
    group.check(built.status === 1, "build of many, some of them wrong", `${built.status}`);
}
