package private

// noFollow is nothing: on Windows only what was looked at before is known. To make a
// link there takes a right that few users have.
const noFollow = 0

// SyncFolder has nothing to do: Windows sees to names by itself.
func SyncFolder(string) error { return nil }
