// One byte more than 16 MiB.
export default () => Buffer.concat([Buffer.from("episode \"test\" { }\n"), Buffer.alloc(16 * 1024 * 1024 - 18, "// x\n")]);
