"""What the owner sees and hands out: window, command line, papers and workbooks."""

from desktop.none_guard import keep_none

keep_none()
