// "café" in an encoding of one byte a letter, and a character cut in two.
export default () => Buffer.from("episode \"The Caf\xe9\" { }\n// \xe2\x99\n", "latin1");
