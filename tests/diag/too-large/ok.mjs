// 16 MiB to the byte.
export default () => Buffer.concat([Buffer.from("episode \"test\" { }\n"), Buffer.alloc(16 * 1024 * 1024 - 19, "// x\n")]);
