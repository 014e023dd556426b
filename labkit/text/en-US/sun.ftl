# What a sun is called where a run is told.

constant = constant { $irradiance }
clear = clear day, { $day }
hazy = clear day, { $day }, haze { $haze }
clouds = { $day }, passing clouds { $number }
measured = measured, { $station }, { $day }
