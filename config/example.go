package config

import _ "embed"

// Example is a profile that documents every key, at the invented desk of the
// Tidemark studio.
//
//go:embed example.toml
var Example string
