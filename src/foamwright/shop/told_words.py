"""The English of every problem the shop can tell: what is wrong, and what to do about it."""

from __future__ import annotations

from types import MappingProxyType

from foamwright.shop.told_words_orders import ORDERS_ENGLISH

ENGLISH = MappingProxyType(
    {
        **ORDERS_ENGLISH,
        "unknown-person": ("There is no person number {id}.", "Look the person up in the list."),
        "unknown-board": ("There is no board number {id}.", "Look the board up in the list."),
        "unknown-blank": ("There is no blank number {id}.", "Look the blank up in the stock."),
        "unknown-job": ("There is no job number {id}.", "Look the job up in the list."),
        "unknown-step": ("This plan has no step {step}.", "Read the job again; its plan may be newer."),
        "unknown-reading": ("There is no reading number {id} in this job.", "Read the job again."),
        "unknown-note": ("There is no note number {id} in this job.", "Read the job again."),
        "unknown-session": ("There is no paired device number {id}.", "Look it up in the list."),
        "archived-board": ("The board “{name}” is in the archive.", "Take it out of the archive first."),
        "archived-person": ("{name} is in the archive.", "Take the person out of the archive first."),
        "archived-blank": ("The blank {code} is in the archive.", "Take it out of the archive first."),
        "archived-job": ("The job “{title}” is in the archive.", "Take it out of the archive first."),
        "stale-board": (
            "“{name}” was changed meanwhile by {who}: it is at revision {current}, yours began at {sent}.",
            "Look at the difference, put together what both of you want, and save again.",
        ),
        "stale-bay": (
            "The bay was changed meanwhile by {who}: it is at revision {current}, yours began at {sent}.",
            "Look at the difference, put together what both of you want, and save again.",
        ),
        "stale": (
            "This was changed meanwhile: it is at revision {current}, yours began at {sent}.",
            "Look at what stands there now, and save again.",
        ),
        "last-blank": (
            "No blank {code} is left; the last one has been taken.",
            "Choose another blank, or count the rack again.",
        ),
        "count-below-none": (
            "There cannot be {count} of {code}.",
            "Count what lies on the rack: none, or more.",
        ),
        "code-taken": (
            "A blank called {code} is in the stock already.",
            "Change that one, or use another name.",
        ),
        "empty": ("Nothing stands here.", "Fill it in."),
        "too-long": ("This is longer than {most} characters.", "Shorten it."),
        "no-number": ("“{written}” is not a number.", "Write digits, like 3 or 72.5."),
        "beyond": ("“{written}” is beyond what can be.", "It lies between {least} and {most}."),
        "no-choice": ("“{written}” is none of the choices.", "Choose one of them: {choices}."),
        "missing": (
            "This is missing.",
            "Send it.",
        ),
        "not-known-here": (
            "Nothing here is called “{name}”.",
            "Leave it out; the names that may stand here are told at /api/openapi.json.",
        ),
        "no-text": (
            "This is no text.",
            "Send it in quotes, as a text.",
        ),
        "signs": (
            "“{written}” has signs that may not stand here.",
            "It has to look like this: {pattern}",
        ),
        "no-whole-number": (
            "“{written}” is not a whole number.",
            "Write digits alone, like 3.",
        ),
        "too-little": (
            "“{written}” is less than can be.",
            "Send {least} or more.",
        ),
        "too-much": (
            "“{written}” is more than can be.",
            "Send {most} or less.",
        ),
        "no-list": (
            "This is no list.",
            "Send a list, in square brackets.",
        ),
        "too-many": (
            "There are more than {most} here.",
            "Send them in parts.",
        ),
        "too-few": (
            "There are fewer than {least} here.",
            "Send {least} or more.",
        ),
        "no-object": (
            "This does not hold named values.",
            "Send an object, in curly brackets.",
        ),
        "no-json": (
            "This cannot be read as JSON ({why}).",
            "Look at its brackets, quotes and commas.",
        ),
        "unreadable": (
            "This cannot be read here.",
            "What may stand here is told at /api/openapi.json.",
        ),
        "unknown-stage": (
            "This job has no stage “{written}”.",
            "Its stages are {choices}.",
        ),
        "reading-beyond": (
            "Nothing on a board measures {value} m.",
            "It is between 0 and {most} m: read it again.",
        ),
        "station-below": (
            "A station {station} m from the tail lies behind the board.",
            "Stations count from the tail tip towards the nose.",
        ),
        "station-beyond": (
            "A station {station} m from the tail is not on this board, which is {length} m long.",
            "Stations count from the tail tip towards the nose: look at it again.",
        ),
        "code-wrong": (
            "This code is not, or no longer, good.",
            "Read the code on the host again; a new one can be made there at any time.",
        ),
        "too-many-tries": (
            "Too many wrong tries, from this device or from everybody.",
            "Wait {seconds} seconds, then read the code on the host again.",
        ),
        "bench-without-job": ("A bench is let in to a job, and none is named.", "Choose the job."),
        "too-many-streams": ("Too many live pages are open.", "Close some of them."),
        "form-stale": (
            "This page is too old to be sent, or it was not sent by our own page.",
            "Load it again; what you typed is still here.",
        ),
        "password-wrong": ("This is not the teacher's password.", "Try again, or pair with a code."),
        "password-none": ("No teacher's password has been set.", "Pair with a code from the host."),
        "password-short": (
            "This password has fewer than {least} characters.",
            "Take four words that do not belong together.",
        ),
        "stranger": ("This device is not paired with the shop.", "Pair it with a code shown on the host."),
        "other-job": ("This bench is paired with another job.", "Ask the teacher to pair it with this one."),
        "teacher-only": ("Only a teacher may do this.", "Ask the teacher."),
        "desk-only": ("This can only be done on the host itself.", "Go to the computer that runs the shop."),
        "busy": ("The database did not answer in time.", "Try again; what you sent was not stored."),
        "full": (
            "The disk is full: what you sent was not stored, and what was there is untouched.",
            "Make room on the disk, then send it again.",
        ),
        "read-only": ("The database can only be read.", "Allow writing to its folder, then start again."),
        "list-empty": ("This list has no rows.", "The first row names the columns; blanks follow."),
        "list-too-long": ("This list has more than {most} rows.", "Split it."),
        "list-too-wide": ("This list has more than {most} columns.", "Leave out what is not needed."),
        "list-too-large": (
            "This file is larger than {most} MB.",
            "Leave out what is not needed, or split it.",
        ),
        "list-bomb": (
            "Unpacked, this file would be larger than {most} MB.",
            "Save the list alone as a new file, or as CSV.",
        ),
        "list-not-xlsx": (
            "This is not a spreadsheet that can be read ({why}).",
            "Save it as XLSX, or as CSV.",
        ),
        "list-not-text": ("This is not a text in UTF-8 or Windows-1252.", "Save it as CSV in UTF-8."),
        "sheet-not-text": (
            "This file is no text, and so no sheet.",
            "Choose the sheet itself: a .toml file, a text in UTF-8.",
        ),
        "list-kind": ("“{name}” is neither CSV, XLSX nor a stock sheet.", "Send .csv, .xlsx or .toml."),
        "list-column-twice": ("Two columns are called “{column}”.", "Take one away."),
        "list-column-missing": (
            "There is no column “{column}”.",
            "Add it; the columns are named in the help.",
        ),
        "list-column-misspelt": ("No blank has anything called “{column}”.", "Did you mean “{near}”?"),
        "list-column-unknown": (
            "No blank has anything called “{column}”.",
            "Leave the column out; a blank has {near}, and numbers at stations like “rocker nose”.",
        ),
        "list-date": (
            "The spreadsheet has made a date out of this cell.",
            "Format the column as text and write the fraction again, like 3/4.",
        ),
        "list-formula-error": ("This cell shows {written}.", "Mend the formula, or write the number."),
        "list-row-long": ("This row has more cells than there are columns.", "Check its separators."),
        "list-row": ("{what}", "{remedy}"),
        "list-code-twice": ("{code} stands in row {row} already.", "Keep one of them."),
        "database-url": ("“{url}” names no database.", "Write postgresql://user@host/name, or leave it out."),
        "database-driver": (
            "PostgreSQL needs the package psycopg, which is not installed.",
            "Install foamwright with its shop extra: pip install 'foamwright[shop]'.",
        ),
        "database-unreachable": ("The database does not answer: {why}.", "Start it, or check its address."),
        "database-missing": ("There is no database at {path}.", "Check the path, or start the shop once."),
        "database-foreign": (
            "{path} is not a foamwright database.",
            "Name the right file, or move this one away.",
        ),
        "database-newer": (
            "This database was written by a newer foamwright ({version}, form {revision}); this is {ours}.",
            "Install that version or a newer one. Nothing was changed.",
        ),
        "database-damaged": (
            "The database is damaged: {what}.",
            "Bring back the last backup: foamwright shop restore FILE. Nothing was changed.",
        ),
        "database-in-use": (
            "Another foamwright has the database open.",
            "Stop it first (Ctrl-C where it runs), then try again.",
        ),
        "database-altered": (
            "The database is not as foamwright makes it: {what}.",
            "Back it up, and restore that backup with --replace: a restore makes every table anew.",
        ),
        "backup-unreadable": ("{path} is not a backup of a shop ({why}).", "Name the right file."),
        "backup-newer": (
            "This backup was written by a newer foamwright (form {revision}).",
            "Install that version or a newer one.",
        ),
        "backup-damaged": ("The backup is damaged: {what}.", "Take an older backup."),
        "backup-into-postgres": (
            "A copy of a SQLite file cannot be brought back into PostgreSQL.",
            "Bring it back into a folder of its own, export it, and restore that export.",
        ),
        "restore-not-empty": (
            "The database holds {count} jobs, people, boards and blanks already.",
            "Say --replace to put the backup in their place; what is there is saved first.",
        ),
    }
)
