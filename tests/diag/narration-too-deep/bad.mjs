export default () => `episode "test" { }\nat 0:00 say {\nTen lines of quotation:\n\n${">".repeat(51)} one too deep\n}\n`;
