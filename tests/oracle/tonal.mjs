// Loads the packages of the general-purpose theory library `tonal` from build/oracle. Their `main` fields name a file that
// most of them don't ship; this finds the CommonJS file each of them does.
import { existsSync } from "node:fs";
import Module, { createRequire } from "node:module";
import { join } from "node:path";

const modules = join(process.cwd(), "build/oracle/node_modules");

const resolve = Module._resolveFilename;
Module._resolveFilename = function (name, ...rest) {
    if (!/^@tonaljs\/[\w-]+$/.test(name)) return resolve.call(this, name, ...rest);
    const files = ["index.cjs", "index.js"].map((file) => join(modules, name, "dist", file));
    return files.find(existsSync) ?? resolve.call(this, name, ...rest);
};

const require = createRequire(join(modules, "none.js"));

export const Chord = require("@tonaljs/chord");
export const ChordType = require("@tonaljs/chord-type");
export const Interval = require("@tonaljs/interval");
export const Note = require("@tonaljs/note");
