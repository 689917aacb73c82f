export default () => `episode "test" { }\nat 0:00 say {\n${">".repeat(50)} as deep as can be\n}\n`;
