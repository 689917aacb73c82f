// SARIF (row D2): what the command writes is valid by the JSON schema of the standard, which the package @microsoft/jest-sarif
// holds, as ajv reads it; and by its types, which the package @types/sarif holds as TypeScript, made from the schema of OASIS: no
// unknown key, none missing, every value of its type. What neither can say (a result of kind "open" has level "none", indexes
// point somewhere) is checked here from the text of the standard.
import { readFileSync, readdirSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { descant, folder, Group, root } from "../harness/harness.mjs";
import { broken, fails, fine, open } from "../harness/samples.mjs";

// interface NAME { key?: type; } and namespace NAME { type alias = "a" | "b"; }
function read_types(text) {
    const types = new Map();
    const plain = text.replace(/\/\*[\s\S]*?\*\//g, "");
    for (const [, name, body] of plain.matchAll(/export interface (\w+) \{([\s\S]*?)\n\}/g)) {
        const keys = new Map();
        for (const [, key, optional, type] of body.matchAll(/^ {4}(\$?\w+)(\??): ((?:\{[\s\S]*?\}|[^;{]|\n)+);/gm))
            keys.set(key, { optional: optional === "?", type: type.replace(/\|\s*undefined\s*$/, "").trim() });
        types.set(name, keys);
    }
    for (const [, space, body] of plain.matchAll(/export namespace (\w+) \{([\s\S]*?)\n\}/g))
        for (const [, alias, words] of body.matchAll(/type (\w+) =\s*([\s\S]*?);/g))
            types.set(`${space}.${alias}`, [...words.matchAll(/"([^"]*)"/g)].map((m) => m[1]));
    return types;
}

// What is wrong with a value, by path.
function faults(types, value, type, path) {
    if (type.endsWith("[]"))
        return Array.isArray(value) ? value.flatMap((v, i) => faults(types, v, type.slice(0, -2), `${path}[${i}]`)) : [`${path}: no array`];
    if (["string", "number", "boolean"].includes(type))
        return typeof value === type ? [] : [`${path}: no ${type}`];
    const known = types.get(type);
    if (Array.isArray(known))
        return known.includes(value) ? [] : [`${path}: ${value} is none of ${known.join(", ")}`];
    if (type === "PropertyBag" || type.startsWith("{"))
        return typeof value === "object" ? [] : [`${path}: no object`];
    if (!known)
        return [`${path}: the types have no ${type}`];
    const found = [];
    for (const [key, { optional }] of known)
        if (!optional && !(key in value))
            found.push(`${path}.${key} is missing`);
    for (const [key, v] of Object.entries(value))
        found.push(...(known.has(key) ? faults(types, v, known.get(key).type, `${path}.${key}`) : [`${path}.${key} is unknown`]));
    return found;
}

const modules = join(root, "build/oracle/node_modules");
const require = createRequire(join(modules, "none.js"));

// The schema is of draft 4, which this ajv reads when it is given that draft's own schema.
function schema_reader() {
    const Ajv = require("ajv");
    const ajv = new Ajv({ schemaId: "id", allErrors: true, meta: false });
    ajv.addMetaSchema(require("ajv/lib/refs/json-schema-draft-04.json"));
    ajv._opts.defaultMeta = "http://json-schema.org/draft-04/schema#";
    return ajv.compile(JSON.parse(readFileSync(join(modules, "@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json"), "utf8")));
}

const valid = schema_reader();

function check_region(group, region, words) {
    const whole = ["startLine", "startColumn", "endLine", "endColumn"].every((k) => Number.isInteger(region[k]) && region[k] >= 1);
    const ordered = region.endLine > region.startLine || (region.endLine === region.startLine && region.endColumn >= region.startColumn);
    group.check(whole && ordered, `${words}: a region from 1, its end not before its start`, JSON.stringify(region));
}

function check_log(group, types, text, words) {
    let log;
    try {
        log = JSON.parse(text);
    } catch (e) {
        group.check(false, `${words}: no JSON: ${e.message}`, text);
        return;
    }
    const found = faults(types, log, "Log", "log");
    group.check(found.length === 0, `${words}: fits the types`, found.join("\n"));
    group.check(valid(log), `${words}: is valid by the schema`, (valid.errors ?? []).map((e) => `${e.dataPath}: ${e.message}`).join("\n"));
    const [run] = log.runs;
    const rules = run.tool.driver.rules;
    group.check(new Set(rules.map((r) => r.id)).size === rules.length, `${words}: rule ids are unique`);
    for (const result of run.results) {
        group.check(rules[result.ruleIndex]?.id === result.ruleId, `${words}: ruleIndex names ${result.ruleId}`);
        group.check(result.kind === "fail" || result.level === "none", `${words}: ${result.ruleId} of kind ${result.kind} has no level`);
        group.check(result.kind !== "open" || result.message.text.startsWith("undecided: "), `${words}: ${result.ruleId} says that it is undecided`);
        for (const location of [...result.locations, ...(result.relatedLocations ?? [])])
            check_region(group, location.physicalLocation.region, words);
        for (const change of (result.fixes ?? []).flatMap((f) => f.artifactChanges))
            change.replacements.forEach((r) => check_region(group, r.deletedRegion, words));
    }
    return run;
}

const group = new Group("oracle sarif");
const types = read_types(readFileSync(join(modules, "@types/sarif/index.d.ts"), "utf8"));
group.check(types.size > 60 && types.get("Result").size > 20, `${types.size} types read`);
const planted = { version: "2.0.0", runs: [{ tool: {}, x: 1 }] };
group.check(faults(types, planted, "Log", "log").length === 3, "the reader finds planted faults");
group.check(!valid(planted) && valid.errors.length === 3, "the schema finds planted faults");

const cwd = folder({ "fine.descant": fine, "fails.descant": fails, "a b/open#.descant": open, "broken.descant": broken });
for (const [file, kind] of [["fine.descant", null], ["fails.descant", "fail"], ["a b/open#.descant", "open"], ["broken.descant", "fail"]]) {
    const r = descant(["check", "--format", "sarif", file], { cwd });
    const run = check_log(group, types, r.stdout, file);
    group.check(!kind || run?.results.some((x) => x.kind === kind), `${file} has a result of kind ${kind}`, r.stdout.slice(-2000));
    group.same(run?.invocations[0].exitCode, r.status, `${file}: exit code`);
    group.check(!kind || run?.results[0].locations[0].physicalLocation.artifactLocation.uri === encodeURI(file).replace("#", "%23"), `${file}: the URI`);
}
const cases = readdirSync(join(root, "tests/diag"), { recursive: true }).map(String).filter((f) => f.endsWith(".descant"));
for (const file of cases)
    check_log(group, types, descant(["check", "--format", "sarif", file], { cwd: join(root, "tests/diag") }).stdout, file);
process.exitCode = group.end() ? 1 : 0;
