"""Reads one picture with libvips, as a yardstick: by its ICC profile to XYZ,
then a histogram of Y with 65536 bins. Prints wall and CPU seconds (without the
start of Python), the process's peak of resident memory in MB, and the mean Y."""

import ctypes
import re
import resource
import sys
import time

XYZ, USHORT, SEQUENTIAL = 1, 2, 1  # VipsPCS, VipsBandFormat, VipsAccess

vips = ctypes.CDLL("libvips.so.42")
vips.vips_image_new_from_file.restype = ctypes.c_void_p
vips.vips_image_write_to_memory.restype = ctypes.c_void_p
vips.vips_error_buffer.restype = ctypes.c_char_p


def check(failed):
    if failed:
        sys.exit(vips.vips_error_buffer().decode())


def step(operation, image, *args):
    """Applies an operation, which hands its result out by pointer."""
    out = ctypes.c_void_p()
    check(getattr(vips, operation)(image, ctypes.byref(out), *args, None))
    return out


def luminances(path):
    """Counts the pixels by Y."""
    image = ctypes.c_void_p(vips.vips_image_new_from_file(path.encode(), b"access", SEQUENTIAL, None))
    check(not image)
    xyz = step("vips_icc_import", image, b"embedded", 1, b"pcs", XYZ)
    y = step("vips_linear1", step("vips_extract_band", xyz, 1), ctypes.c_double(655.35), ctypes.c_double(0))
    histogram = step("vips_hist_find", step("vips_cast", y, USHORT))
    size = ctypes.c_size_t()
    data = vips.vips_image_write_to_memory(histogram, ctypes.byref(size))
    check(not data)
    return ctypes.cast(data, ctypes.POINTER(ctypes.c_uint32))[: size.value // 4]


def cpu():
    usage = resource.getrusage(resource.RUSAGE_SELF)
    return usage.ru_utime + usage.ru_stime


check(vips.vips_init(b"luminance"))
wall, spent = time.perf_counter(), cpu()
counts = luminances(sys.argv[1])
wall, spent = time.perf_counter() - wall, cpu() - spent
peak = int(re.search(r"VmHWM:\s+(\d+)", open("/proc/self/status").read())[1]) / 1024
mean = sum(i * n for i, n in enumerate(counts)) / sum(counts) / 65535
print(f"{wall:.3f} {spent:.3f} {peak:.1f} {mean:.5f}")
