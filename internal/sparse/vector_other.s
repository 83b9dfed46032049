//go:build !amd64

// This file lets kernel.go and rhs.go declare functions that other processors
// have no code for: without vector units nothing calls them.
