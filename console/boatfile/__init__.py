"""The vessel scenario file: schema from sections, flat inputs, errors with lines, atomic save."""

from console.boatfile.boat import Boat, load, loads
from console.boatfile.errors import BoatFileError
from console.boatfile.inputs import Input
from console.boatfile.saving import save
from console.boatfile.schema import json_schema

__all__ = ["Boat", "BoatFileError", "Input", "json_schema", "load", "loads", "save"]
