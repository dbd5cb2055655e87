# Independent computation of what periodize/logbook compares, by other means: numpy, no streaming,
# formulas typed in from their printed form. Writes logbook-compare.csv.
#
#   go run ./examples/logs -rows 100000 > log.csv && python3 testdata/logbook-compare.py log.csv > testdata/logbook-compare.csv
#
# The log is invented. Defaults of the package: tests are singles that are tested or reported with none in reserve,
# the heaviest of a day counts; qualifying sets have 1 to 10 repetitions and a reported reserve of 0 to 5;
# each goes against the nearest later day with a test, at most 14 days on. A true single is its own maximum.
import csv, sys, datetime
import numpy as np
eqs = {
 "epley": lambda w, r: w*(1+r/30), "epley_0333": lambda w, r: w*(1+0.0333*r), "welday": lambda w, r: w+0.0333*w*r,
 "baechle": lambda w, r: w*(1+0.033*r), "brzycki": lambda w, r: w*36/(37-r), "brzycki_dec": lambda w, r: w/(1.0278-0.0278*r),
 "lander": lambda w, r: 100*w/(101.3-2.67123*r), "lombardi": lambda w, r: w*r**0.10,
 "mayhew1992": lambda w, r: 100*w/(52.2+41.9*np.exp(-0.055*r)), "oconner": lambda w, r: w*(1+0.025*r),
 "wathen": lambda w, r: 100*w/(48.8+53.8*np.exp(-0.075*r)), "adams": lambda w, r: w/(1-0.02*r),
 "brown": lambda w, r: w*(0.9849+0.0328*r), "kemmler": lambda w, r: w*(0.988+0.0104*r+0.00190*r**2-0.0000584*r**3),
 "reynolds_cp_exp": lambda w, r: 100*w/(55.51*np.exp(-0.0723*r)+48.47), "reynolds_lp_exp": lambda w, r: 100*w/(78.17*np.exp(-0.0569*r)+26.41)}
tests, sets = {}, []
for row in csv.DictReader(open(sys.argv[1], newline="")):
    day = datetime.date.fromisoformat(row["date"]).toordinal()
    key, w, reps = (row["lifter"], row["lift"]), float(row["load"]), int(row["reps"])
    rir = float(row["rir"]) if row["rir"] else None
    tested = row["tested"] == "1"
    if reps == 1 and (tested or rir == 0):
        t = tests.setdefault(key, {}); t[day] = max(t.get(day, 0), w)
    elif 1 <= reps <= 10 and rir is not None and 0 <= rir <= 5:
        sets.append((key, day, w, reps + rir))
pairs = []
for key, day, w, n in sets:
    later = [d for d in tests.get(key, {}) if d > day]
    if later and min(later) - day <= 14:
        pairs.append((key[0], key[1], w, n, tests[key][min(later)]))
lifter, lift = np.array([p[0] for p in pairs]), np.array([p[1] for p in pairs])
w, n, t = (np.array([p[i] for p in pairs]) for i in (2, 3, 4))
lows = [1, 4, 7, 11, 16]
band = np.array(["1-3", "4-6", "7-10", "11-15", "16+"])[np.searchsorted(lows, n, side="right") - 1]
print("# made by logbook-compare.py, numpy %s; the log is invented: go run ./examples/logs -rows 100000" % np.__version__)
print("by,name,equation,n,bias,mae,rmse,loa_low,loa_high,ccc")
groups = [("all", "", np.full(len(t), True))]
for by, col in (("lift", lift), ("band", band), ("lifter", lifter)):
    groups += [(by, v, col == v) for v in sorted(set(col))]
for by, name, m in groups:
    for eq, f in eqs.items():
        x = np.where(n[m] == 1, w[m], f(w[m], n[m])); y = t[m]; d = x - y
        sd = d.std(ddof=1)
        ccc = 2*np.mean((x-x.mean())*(y-y.mean())) / (x.var() + y.var() + (x.mean()-y.mean())**2)
        print("%s,%s,%s,%d,%.13g,%.13g,%.13g,%.13g,%.13g,%.13g" % (by, name, eq, len(d), d.mean(), abs(d).mean(), np.sqrt((d*d).mean()),
            d.mean()-1.96*sd, d.mean()+1.96*sd, ccc))

# Second file, where a second argument names it: coefficients fitted by scipy.optimize.least_squares to the same pairs.
if len(sys.argv) > 2:
    import scipy
    from scipy.optimize import least_squares
    forms = {
     "w*(1+b*n)": (lambda p, n: 1+p[0]*n, [0.03]), "w*(a+b*n)": (lambda p, n: p[0]+p[1]*n, [1, 0.03]),
     "w*(c-1)/(c-n)": (lambda p, n: (p[0]-1)/(p[0]-n), [37.]), "w/(1-b*n)": (lambda p, n: 1/(1-p[0]*n), [0.02]),
     "w/(a-b*n)": (lambda p, n: 1/(p[0]-p[1]*n), [1.01, 0.027]), "w*n^a": (lambda p, n: n**p[0], [0.1]),
     "w/(a+b*exp(-c*n))": (lambda p, n: 1/(p[0]+p[1]*np.exp(-p[2]*n)), [0.5, 0.5, 0.07]),
     "w*(a+b*n+c*n^2+d*n^3)": (lambda p, n: p[0]+p[1]*n+p[2]*n**2+p[3]*n**3, [1, 0.01, 0.002, -0.00006])}
    with open(sys.argv[2], "w") as out:
        out.write("# made by logbook-compare.py, scipy %s\nform;rmse;coefficients\n" % scipy.__version__)
        for name, (f, p0) in forms.items():
            s = least_squares(lambda p: w*f(p, n)-t, p0, x_scale="jac", xtol=1e-15, ftol=1e-15, gtol=1e-15, max_nfev=5000)
            out.write("%s;%.12g;%s\n" % (name, np.sqrt(np.mean(s.fun**2)), " ".join("%.12g" % v for v in s.x)))
