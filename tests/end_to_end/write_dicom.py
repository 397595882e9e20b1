"""Two small series of invented DICOM files (PS3.10, explicit little endian) for what converts them.

usage: write_dicom.py FOLDER

A series of echo planar volumes as mosaics would be a maker's own, so every slice is a file: 5 volumes of 3 slices at a
repetition time of 2 s, then an anatomical series of 4 slices that says how long it took.
"""
import pathlib
import struct
import sys

ROOT = "1.2.826.0.1.3680043.9.9999"  # made up
LONG = {"OB", "OW", "UN", "SQ"}


def element(group, number, kind, value):
    if isinstance(value, (list, tuple)):
        value = "\\".join(str(each) for each in value)
    if kind == "US":
        data = struct.pack("<H", value)
    elif kind == "FD":
        data = struct.pack("<d", value)
    elif kind == "UL":
        data = struct.pack("<I", value)
    else:
        data = value if isinstance(value, bytes) else str(value).encode("ascii")
    if len(data) % 2:
        data += b"\0" if kind in ("UI", "OB") else b" "
    length = struct.pack("<HI", 0, len(data)) if kind in LONG else struct.pack("<H", len(data))
    return struct.pack("<HH", group, number) + kind.encode() + length + data


def dicom_file(series, instance, dataset):
    uid = f"{ROOT}.{series}.{instance}"
    meta = b"".join([
        element(2, 1, "OB", b"\0\1"), element(2, 2, "UI", "1.2.840.10008.5.1.4.1.1.4"), element(2, 3, "UI", uid),
        element(2, 0x10, "UI", "1.2.840.10008.1.2.1"), element(2, 0x12, "UI", ROOT)])
    elements = dict(dataset)
    elements[(8, 0x18)] = ("UI", uid)
    body = b"".join(element(*tag, *value) for tag, value in sorted(elements.items()))
    return b"\0" * 128 + b"DICM" + element(2, 0, "UL", len(meta)) + meta + body


def dataset(series, name, instance, slice_number, time, more):
    size = 16
    return {
        (8, 8): ("CS", ["ORIGINAL", "PRIMARY", "M"]), (8, 0x16): ("UI", "1.2.840.10008.5.1.4.1.1.4"),
        (8, 0x20): ("DA", "20250102"), (8, 0x22): ("DA", "20250102"), (8, 0x30): ("TM", "100000"),
        (8, 0x32): ("TM", time), (8, 0x60): ("CS", "MR"), (8, 0x70): ("LO", "Nobody"), (8, 0x103e): ("LO", name),
        (0x10, 0x10): ("PN", "Nobody"), (0x10, 0x20): ("LO", "none"), (0x18, 0x23): ("CS", "2D"),
        (0x18, 0x50): ("DS", 3), (0x18, 0x87): ("DS", 3), (0x18, 0x88): ("DS", 3), (0x18, 0x1030): ("LO", name),
        (0x20, 0xd): ("UI", f"{ROOT}.0"), (0x20, 0xe): ("UI", f"{ROOT}.{series}"), (0x20, 0x11): ("IS", series),
        (0x20, 0x12): ("IS", 1 + (instance - 1) // 3 if "epi" in name else 1), (0x20, 0x13): ("IS", instance),
        (0x20, 0x32): ("DS", [-24, -24, 3 * slice_number]), (0x20, 0x37): ("DS", [1, 0, 0, 0, 1, 0]),
        (0x20, 0x52): ("UI", f"{ROOT}.7"), (0x20, 0x1041): ("DS", 3 * slice_number),
        (0x28, 2): ("US", 1), (0x28, 4): ("CS", "MONOCHROME2"), (0x28, 0x10): ("US", size),
        (0x28, 0x11): ("US", size), (0x28, 0x30): ("DS", [3, 3]), (0x28, 0x100): ("US", 16),
        (0x28, 0x101): ("US", 12), (0x28, 0x102): ("US", 11), (0x28, 0x103): ("US", 0),
        (0x7fe0, 0x10): ("OW", struct.pack("<H", 7) * size * size)} | more


def main():
    folder = pathlib.Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    for volume in range(5):
        for slice_number in range(3):
            instance = 3 * volume + slice_number + 1
            more = {(0x18, 0x20): ("CS", ["EP"]), (0x18, 0x80): ("DS", 2000), (0x18, 0x81): ("DS", 30),
                    (0x20, 0x100): ("IS", volume + 1), (0x20, 0x105): ("IS", 5)}
            time = f"1000{2 * volume:02}.{100000 + 1000 * slice_number}"
            data = dataset(2, "epi", instance, slice_number, time, more)
            (folder / f"epi-{instance:02}.dcm").write_bytes(dicom_file(2, instance, data))
    for slice_number in range(4):
        more = {(0x18, 0x20): ("CS", ["GR"]), (0x18, 0x80): ("DS", 2300), (0x18, 0x81): ("DS", 3),
                (0x18, 0x9073): ("FD", 312.5)}
        data = dataset(3, "anatomy", slice_number + 1, slice_number, "100100.000000", more)
        (folder / f"anatomy-{slice_number}.dcm").write_bytes(dicom_file(3, slice_number + 1, data))


if __name__ == "__main__":
    main()
