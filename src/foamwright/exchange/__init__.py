"""Boards and blanks out to files and in from them: solids, meshes, stations, scans."""
