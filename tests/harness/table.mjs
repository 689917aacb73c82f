// Tables of reference data: tab-separated, the first line names the columns.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { root } from "./harness.mjs";

// Rows as objects by column name; path below tests/reference/data/.
export function table(path) {
    const [head, ...rows] = readFileSync(join(root, "tests/reference/data", path), "utf8").trimEnd().split("\n").map((line) => line.split("\t"));
    return rows.map((cells) => Object.fromEntries(head.map((name, i) => [name, cells[i] ?? ""])));
}
