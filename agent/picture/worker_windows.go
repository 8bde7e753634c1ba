package picture

import (
	"os"
	"syscall"
	"unsafe"

	"golang.org/x/sys/windows"
)

// openWithoutWaiting is nothing here: no name of a file can be a pipe's.
const openWithoutWaiting = 0

// childAttributes: behind the editor, in a group of its own, and without a
// console window.
func childAttributes() []*syscall.SysProcAttr {
	return []*syscall.SysProcAttr{{
		HideWindow: true,
		CreationFlags: windows.BELOW_NORMAL_PRIORITY_CLASS | windows.CREATE_NEW_PROCESS_GROUP |
			windows.CREATE_NO_WINDOW,
	}}
}

func killGroup(p *os.Process) error { return p.Kill() }

// confine puts the child into a job that limits its memory and ends it together
// with this process. Between its start and this call the child has done nothing
// but begin to load. Without a job the time limit still holds.
func confine(p *os.Process, memory uint64) (release func()) {
	job, err := windows.CreateJobObject(nil, nil)
	if err != nil {
		return func() {}
	}
	info := windows.JOBOBJECT_EXTENDED_LIMIT_INFORMATION{
		BasicLimitInformation: windows.JOBOBJECT_BASIC_LIMIT_INFORMATION{
			LimitFlags: windows.JOB_OBJECT_LIMIT_PROCESS_MEMORY | windows.JOB_OBJECT_LIMIT_KILL_ON_JOB_CLOSE,
		},
		ProcessMemoryLimit: uintptr(memory),
	}
	_, err = windows.SetInformationJobObject(job, windows.JobObjectExtendedLimitInformation,
		uintptr(unsafe.Pointer(&info)), uint32(unsafe.Sizeof(info)))
	if err == nil {
		assign(job, p)
	}
	return func() { _ = windows.CloseHandle(job) }
}

func assign(job windows.Handle, p *os.Process) {
	h, err := windows.OpenProcess(windows.PROCESS_SET_QUOTA|windows.PROCESS_TERMINATE, false, uint32(p.Pid))
	if err != nil {
		return
	}
	defer func() { _ = windows.CloseHandle(h) }()
	_ = windows.AssignProcessToJobObject(job, h)
}

// limitMemory leaves the limit to the job that the parent puts this process in.
func limitMemory(uint64) {}

// shutIn does nothing: the job is put around this process from outside.
func shutIn() {}
