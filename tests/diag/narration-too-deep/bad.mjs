export default () => `episode "test" { }\nat 0:00 say {\n${">".repeat(300)} deep\n}\n`;
