"""What the owner sees and hands out: window, command line, papers and workbooks."""
