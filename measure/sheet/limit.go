package sheet

import "fmt"

// Limits on inputs. Cases come from strangers: each of these says where reading stops, and the error that it gives
// names the limit, so that nobody takes a refused file for a broken one.
const (
	MaxTableFile    int64 = 64 << 20   // bytes of one CSV table, or of an evidence file that is read whole
	MaxBookFile     int64 = 256 << 20  // bytes of one .xlsx file
	MaxLogFile      int64 = 1 << 30    // bytes of one CSV log
	MaxEvidenceFile int64 = 4 << 30    // bytes of a file that is only hashed
	MaxUnzipped     int64 = 512 << 20  // bytes of all parts of an .xlsx file together, decompressed
	MaxStrings      int64 = 256 << 20  // bytes of the shared strings of an .xlsx file, decompressed
	MaxParts              = 10_000     // parts of an .xlsx file
	MaxSheets             = 500        // sheets of a workbook, or CSV files of a folder
	MaxTableRows          = 100_000    // rows of one table
	MaxTableCells         = 500_000    // cells of one table
	MaxClaims             = 1_000      // rows of the table claims: claims are checked against each other
	MaxRuns               = 500        // rows of the table decay: each rate with the unit on stands on all runs with it off
	MaxKnownRows          = 10_000     // rows of each other table of the contract
	MaxColumns            = 16_384     // columns of one table or log, as many as a spreadsheet has
	MaxSheetRows          = 1_048_576  // rows of one sheet, as many as a spreadsheet has
	MaxRowBytes           = 1 << 20    // bytes of one CSV line, or of one text in a sheet
	MaxSheetRow           = 4 << 20    // bytes of the texts of one row of a sheet
	MaxDepth              = 64         // nesting of elements in a sheet
	MaxAttributes         = 256        // attributes of an element; the root of a style sheet declares some forty name spaces
	MaxConfirmed    int64 = 64 << 20   // bytes, packed, of the tables of a workbook that the second reader confirms
	MaxPreamble           = 1_000      // lines of a log before its header
	MaxReadings           = 40_000_000 // readings kept of all logs of a case together, 16 bytes each
)

// tooLarge words the breach of a limit.
func tooLarge(what string, found, limit int64) string {
	return fmt.Sprintf("%s: %s found, at most %s accepted (a limit of this program, not of the format)", what, count(found), count(limit))
}

// TooLarge words the breach of a limit: what was counted, how much of it was found, and the most that is accepted.
func TooLarge(what string, found, limit int64) string { return tooLarge(what, found, limit) }

// count writes a whole number with thin groups: 1048576 → 1 048 576.
func count(n int64) string {
	s := fmt.Sprint(n)
	for i := len(s) - 3; i > 0 && s[i-1] != '-'; i -= 3 {
		s = s[:i] + " " + s[i:]
	}
	return s
}
