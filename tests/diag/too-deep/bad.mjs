export default () => `episode "test" { }\npassage p of w ${"{ ".repeat(200)}${"} ".repeat(200)}\n`;
