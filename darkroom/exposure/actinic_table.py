"""Daylight of a clear sky against the sun's altitude, as a collodion plate sees it. Pure.

Made by `python -m tests.kit.make_actinic_table` (there the sources): SPECTRL2 of pvlib 0.16.1, 380 to
520 nm weighted by the published sensitivity of an iodide and bromide collodion;
aerosol_turbidity_500nm 0.1; ozone 0.31; precipitable_water 1.5;
ground_albedo 0.2; surface_pressure 101325; dayofyear 172.
"""

ROWS: tuple[tuple[float, float, float, float, float], ...] = (
    (2, 5.6018, 5.6039, 6.2047, 6.3413),
    (2.5, 5.2600, 5.2646, 5.7710, 6.0025),
    (3, 4.9819, 4.9907, 5.3753, 5.7294),
    (4, 4.5447, 4.5686, 4.6567, 5.3103),
    (5, 4.2036, 4.2534, 4.0268, 5.0001),
    (6, 3.9193, 4.0058, 3.4883, 4.7597),
    (8, 3.4495, 3.6358, 2.6562, 4.4086),
    (10, 3.0604, 3.3674, 2.0699, 4.1623),
    (12.5, 2.6498, 3.1154, 1.5602, 3.9380),
    (15, 2.3035, 2.9219, 1.2071, 3.7692),
    (20, 1.7528, 2.6399, 0.7677, 3.5232),
    (25, 1.3361, 2.4413, 0.5245, 3.3432),
    (30, 1.0106, 2.2929, 0.3894, 3.1998),
    (35, 0.7499, 2.1777, 0.3227, 3.0800),
    (40, 0.5376, 2.0859, 0.3048, 2.9777),
    (45, 0.3628, 2.0116, 0.3251, 2.8895),
    (50, 0.2181, 1.9511, 0.3787, 2.8133),
    (55, 0.0984, 1.9015, 0.4635, 2.7479),
    (60, 0.0000, 1.8611, 0.5802, 2.6924),
    (65, -0.0798, 1.8286, 0.7318, 2.6463),
    (70, -0.1428, 1.8031, 0.9247, 2.6090),
    (75, -0.1906, 1.7838, 1.1696, 2.5804),
    (80, -0.2240, 1.7703, 1.4864, 2.5600),
    (82.5, -0.2356, 1.7657, 1.6825, 2.5530),
    (85, -0.2439, 1.7624, 1.9138, 2.5479),
    (87.5, -0.2488, 1.7604, 2.1933, 2.5449),
    (90, -0.2504, 1.7597, 2.5439, 2.5439),
)  # fmt: skip
"""Altitude in degrees; stops more than on flat ground with the sun at 60°: on flat ground, there in shade,
on something upright that faces the sun, and turned away from it."""
