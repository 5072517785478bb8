"""Properties of moist air, seawater and refrigerants, as quick functions of arrays.

Three modules share one manner:

* `air` (moist air), `seawater`, `refrigerants`. All SI: kelvin, pascal, kg/kg of dry air for a
  humidity ratio, kg/kg for salinity, J/kg for enthalpy.
* Any argument may be a number or an array; they broadcast. Numbers in give a number out.
* The values come from maps built once with CoolProp and gsw and kept in the user's cache
  (`store`). Importing these modules imports neither; the first use loads or builds a map.
* **Outside the range a docstring states the answer is NaN, element by element**, so that a sweep
  survives one bad point and nothing is extrapolated in silence. NaN in gives NaN out.
"""
