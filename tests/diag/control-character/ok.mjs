// Tabs and every line end are fine.
export default () => "episode \"test\" { }\r\n\twork w { title \"A\tStudy\" }\r// end\n";
