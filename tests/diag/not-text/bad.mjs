// UTF-16 is text to an editor and none to the compiler.
export default () => Buffer.from("\uFEFFepisode \"test\" { }\n", "utf16le");
