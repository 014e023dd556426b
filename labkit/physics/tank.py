"""The diaphragm pressure tank."""

from labkit.compiled import compiled


@compiled
def water_volume(
    p: float, V: float, p_precharge: float, p_air: float, n: float
) -> tuple[float, float]:
    """Water in a diaphragm tank at a line pressure, and its slope.

    Parameters
    ----------
    p : float
        Line pressure [Pa gauge].
    V : float
        Tank volume [m3].
    p_precharge : float
        Pressure of the air, set with the tank empty of water [Pa gauge].
    p_air : float
        Air pressure outside [Pa absolute].
    n : float
        Exponent of the trapped air: 1 for slow change, 1.4 for fast [-].

    Returns
    -------
    water, slope : float
        Water volume [m3], zero at or below the precharge, and its slope [m3/Pa].

    Notes
    -----
    The trapped air obeys ``p V**n = const`` in *absolute* pressure. Valid while the diaphragm
    does not touch the shell, that is up to a few times the precharge.
    """
    if V <= 0.0 or p <= p_precharge:
        return 0.0, 0.0
    air_left = ((p_precharge + p_air) / (p + p_air)) ** (1.0 / n)
    return V * (1.0 - air_left), V * air_left / (n * (p + p_air))
