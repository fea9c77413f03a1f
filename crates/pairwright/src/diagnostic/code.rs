//! The one table of codes.

/// Declares the codes once: the variant, the text in output, what it stands for.
macro_rules! codes {
    ($($variant:ident = $text:literal, $meaning:literal;)+) => {
        /// The kind of a finding; its text never changes between versions.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[non_exhaustive]
        pub enum Code {
            $(#[doc = $meaning] $variant,)+
        }

        impl Code {
            /// Every code, in the order of `docs/errors.md`.
            pub const ALL: &[Self] = &[$(Self::$variant,)+];

            /// The code as it stands in output: `csv-short-row`.
            #[must_use]
            pub const fn text(self) -> &'static str {
                match self {
                    $(Self::$variant => $text,)+
                }
            }
        }
    };
}

codes! {
    FileMissing = "file-missing", "A file that is asked for is not there.";
    FileOutside = "file-outside", "The job names a file outside its folder.";
    FileNotAFile = "file-not-a-file", "The name is that of a folder or a device.";
    FileNotAJob = "file-not-a-job", "A CSV file is given where a job belongs.";
    FileTwice = "file-twice", "One file that is named for two things.";
    FileTooLarge = "file-too-large", "More than 64 MB.";
    FileUnreadable = "file-unreadable", "The system refused to read it.";
    FileNotUtf8 = "file-not-utf8", "Bytes that are not UTF-8 text.";
    FileNul = "file-nul", "A NUL byte, which no text file has.";
    FileEmpty = "file-empty", "Nothing in the file.";

    CsvHeaderOnly = "csv-header-only", "A header and no row.";
    CsvSeparator = "csv-separator", "It is not certain what separates the columns.";
    CsvOpenQuote = "csv-open-quote", "An opening quote that is never closed.";
    CsvShortRow = "csv-short-row", "Fewer cells than the header has.";
    CsvLongRow = "csv-long-row", "More cells than the header has.";
    CsvDecimalComma = "csv-decimal-comma", "A decimal comma where the comma separates columns.";
    CsvDuplicateColumn = "csv-duplicate-column", "Two columns of one name.";
    CsvUnnamedColumn = "csv-unnamed-column", "Values under an empty header.";
    CsvUnknownColumn = "csv-unknown-column", "A column that nothing uses.";
    CsvColumnUnit = "csv-column-unit", "The unit in a header is unknown, does not fit, or is not there where it must be.";
    CsvMissingColumn = "csv-missing-column", "A column without which the file says nothing.";
    CsvColumnGap = "csv-column-gap", "Numbered columns that leave a number out.";
    CsvMissingCell = "csv-missing-cell", "An empty cell in a column that must be filled.";
    CsvMixedUnits = "csv-mixed-units", "A cell whose unit is not that of its column.";
    CsvNumber = "csv-number", "A cell that is not a number of its kind.";
    CsvOutOfRange = "csv-out-of-range", "A value that no engine part can have.";
    CsvLabel = "csv-label", "A label with a line break in it.";
    CsvWord = "csv-word", "A word that the column does not know.";

    JobSyntax = "job-syntax", "The job file is not TOML.";
    JobUnknownKey = "job-unknown-key", "A key that the section does not have.";
    JobNotYet = "job-not-yet", "Something planned that this version does not do.";
    JobMissingKey = "job-missing-key", "A key without which the section says nothing.";
    JobType = "job-type", "A number where text belongs, or the like.";
    JobWord = "job-word", "A word that the key does not know.";
    JobNumber = "job-number", "A value that is not a number of its kind.";
    JobOutOfRange = "job-out-of-range", "A value that no engine can have.";

    BankCylinderTwice = "bank-cylinder-twice", "A cylinder that stands in two banks, or twice in one.";
    BankName = "bank-name", "A bank that bears the name of a cylinder.";
    BankNone = "bank-none", "Something goes on banks and the job has none.";
    BankHeadSeat = "bank-head-seat", "A bank that does not say which way round its head sits.";
    BankPositions = "bank-positions", "The banks and the positions file do not have the same cylinders.";
    PositionNone = "position-none", "Nothing says which cylinders there are.";
    PositionTwice = "position-twice", "A cylinder that has two rows.";
    PositionUnknown = "position-unknown", "A cylinder or bank that the job does not have.";

    PartNoId = "part-no-id", "A part without a label.";
    PartTwice = "part-twice", "Two parts with one label.";
    PartUnknown = "part-unknown", "A part that the stock does not have.";
    PartMates = "part-mates", "Two parts that claim one mate, or mates that name each other otherwise.";
    PartSamePlace = "part-same-place", "Two parts that stand in one position now.";
    HeadChambers = "head-chambers", "A head with more or fewer chambers than it can have.";

    FitName = "fit-name", "A declared fit whose name is taken, or is no plain word.";
    FitTerm = "fit-term", "A declared fit that names no measured column of a kind the job has.";
    FitColumn = "fit-column", "A declared fit over a column that the file does not have.";
    FitMixed = "fit-mixed", "A declared fit that adds lengths to masses, or the like.";

    ClearanceName = "clearance-name", "Two measured clearances of one name, or too many of them.";
    ClearanceMoves = "clearance-moves", "A measured clearance that does not say how it moves, or says it twice.";
    ClearanceUnit = "clearance-unit", "A sensitivity that is no length per length.";
    ClearancePlace = "clearance-place", "A measured clearance that contradicts itself.";
    ClearanceLacks = "clearance-lacks", "A measured clearance that cannot be carried over for want of what it was read with.";

    LimitUpsideDown = "limit-upside-down", "A least value above the greatest.";
    MatchName = "match-name", "Two matches of one name.";
    MatchSameParts = "match-same-parts", "Two matches that place the same kind in the same positions.";
    MatchAim = "match-aim", "Two aims, or none.";
    MatchKind = "match-kind", "A kind to place that has no stock, or is named twice.";
    MatchRole = "match-role", "Names of several parts of one kind a position that do not go together.";
    MatchPositions = "match-positions", "It is not certain which positions a match serves.";
    MatchOnly = "match-only", "A match that serves only positions that are not there.";
    MatchKeptTwice = "match-kept-twice", "A part kept in two positions, or two parts in one.";
    MatchKeepBar = "match-keep-bar", "A part kept where it is barred.";
    MatchKeepFits = "match-keep-fits", "A part kept where its own `fits` does not let it go.";

    WhatIfName = "what-if-name", "Two what-ifs of one name.";
    WhatIfUnknown = "what-if-unknown", "A what-if, or a match, that the job does not have.";
    WhatIfCycle = "what-if-cycle", "What-ifs that stack each other.";
    WhatIfClash = "what-if-clash", "Changes that contradict each other, or one that is asked for twice.";
    WhatIfCut = "what-if-cut", "A cut deeper than the metal allows, or one that leaves a volume unknown.";
    WhatIfUseless = "what-if-useless", "A change that this job has no use for.";

    NeedMatch = "need-match", "No match says what to place.";
    NeedReadings = "need-readings", "A match wants deck clearance and there are no readings.";
    NeedColumn = "need-column", "A match wants a value that no column holds.";
    NeedCell = "need-cell", "A match wants a value that this row does not have.";
    NeedStanding = "need-standing", "A kind that is not placed does not say where its parts stand.";
    NeedParts = "need-parts", "Fewer usable parts than places.";

    NoteSeparator = "note-separator", "The columns are separated by something other than a comma.";
    NoteColumn = "note-column", "A column is taken for a note and not used.";
    NoteHeadsAlike = "note-heads-alike", "Heads may go on banks that all sit alike.";
    NoteGasketBore = "note-gasket-bore", "A gasket's edge stands in the cylinder bore.";
    NoteNoLash = "note-no-lash", "Valve lift is worked out without lash.";
    NoteNoPrice = "note-no-price", "A part to buy without a price, where others have one.";
    NoteUnserved = "note-unserved", "Positions that no match serves.";
    NoteFarOff = "note-far-off", "A value far off those of the other rows.";
    NoteUnit = "note-unit", "A column that goes with the rest of a sum only in another unit.";
    NoteDecimals = "note-decimals", "A file has decimal commas and decimal points.";
}

impl std::fmt::Display for Code {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.text())
    }
}

impl serde::Serialize for Code {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.text())
    }
}
