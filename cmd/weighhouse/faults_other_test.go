//go:build !unix

package main

import "errors"

var errNoSpecialFiles = errors.New("this system has no such files")

func makePipe(string) error { return errNoSpecialFiles }

func makeDevice(string) error { return errNoSpecialFiles }
