// What a terminal would take for an order to clear itself.
export default () => "episode \"test\" { }\n// \x1b[2J and \x07\n";
