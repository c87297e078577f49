"""The ids of the 20 colours nearest by CIEDE2000 to each of some, a line each,
by colormath: near_colormath.py COLOURS.csv L,a,b ...; exit status 127 where it
is not there."""
import sys
try:
    import numpy as np
    from colormath.color_diff_matrix import delta_e_cie2000
except ImportError:
    sys.exit(127)

ids, *lab = np.loadtxt(sys.argv[1], delimiter=",", skiprows=1, unpack=True)
lab = np.transpose(lab)
for words in sys.argv[2:]:
    de = delta_e_cie2000(np.array([float(v) for v in words.split(",")]), lab)
    nearest = np.argsort(de, kind="stable")[:20]
    print(*ids[nearest].astype(int))
