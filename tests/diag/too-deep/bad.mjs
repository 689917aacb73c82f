export default () => `episode "test" { }\nwork w { title "A Study" }\npassage p of w ${"{ ".repeat(200)}${"} ".repeat(200)}\n`;
