package workload_test

import (
	"encoding/json"
	"fmt"

	"github.com/blockwright/blockwright/periodize/workload"
)

// The worked example of Ladlow et al. 2022 (BMJ Mil Health 168:314-319, table 1,
// looked-up): 10 x 55, 8 x 65 and 6 x 75 kg by a lifter whose maximum is 110 kg.
// The table prints 63 kg and 57 %, having rounded 63.3 before dividing.
func ExampleTotals() {
	var t workload.Totals
	for _, s := range []workload.Set{{Reps: 10, Load: 55}, {Reps: 8, Load: 65}, {Reps: 6, Load: 75}} {
		s.Max = 110
		s.Muscles = []workload.Share{{Key: "quads", Share: 1}, {Key: "glutes", Share: 0.5}}
		if err := t.Add(s); err != nil {
			fmt.Println(err)
		}
	}
	v := t.Volume
	fmt.Printf("%d lifts, %.0f kg, on average %.1f kg or %.1f %%\n", v.Lifts(), v.Tonnage(), v.AverageLoad().Value, 100*v.MeanIntensity().Value)
	fmt.Println("hard sets:", t.Muscles.All())
	// Output:
	// 24 lifts, 1520 kg, on average 63.3 kg or 57.6 %
	// hard sets: [{glutes 1.5} {quads 3}]
}

// Density as printed in the same table: 3 x 8 x 65 kg in 45 minutes, 34.7 kg/min.
func ExampleVolume_Density() {
	var v workload.Volume
	_ = v.Add(workload.Set{Count: 3, Reps: 8, Load: 65})
	d, _ := v.Density(45)
	fmt.Printf("%.0f kg, %.1f kg/min\n", v.Tonnage(), d)
	// Output: 1560 kg, 34.7 kg/min
}

func ExampleTotals_Merge() {
	// Two halves of a log, summed apart, sent as JSON and joined.
	var first, second, joined workload.Totals
	_ = first.Add(workload.Set{Count: 3, Reps: 5, Load: 100})
	_ = second.Add(workload.Set{Count: 2, Reps: 8, Load: 70})
	sent, _ := json.Marshal(second)
	_ = json.Unmarshal(sent, &joined)
	if err := joined.Merge(first); err != nil {
		fmt.Println(err)
	}
	fmt.Println(joined.Volume.Lifts(), joined.Volume.Tonnage())
	// Output: 31 2620
}

func ExampleINOL() {
	// 4 x 4 at 85 %, called tough on a page that explains the convention.
	var n workload.INOL
	_ = n.Add(workload.Set{Count: 4, Reps: 4, Load: 85, Max: 100})
	fmt.Printf("%.2f\n", n.Value().Value)
	_ = n.Add(workload.Set{Reps: 1, Load: 100, Max: 100})
	fmt.Println(n.Value())
	// Output:
	// 1.07
	// undefined: a set at or above the maximum divides by zero or less
}

func ExampleZones() {
	var z workload.Zones
	for _, load := range []float64{65, 72.5, 77.5, 82.5, 90} {
		_ = z.Add(workload.Set{Reps: 3, Load: load, Max: 100})
	}
	for _, zone := range z.All() {
		fmt.Printf("%s: %d lifts\n", zone, zone.Lifts)
	}
	// Output:
	// under 70 %: 3 lifts
	// 70 to under 80 %: 6 lifts
	// 80 to under 90 %: 3 lifts
	// 90 % and more: 3 lifts
}

func ExampleNewWeek() {
	week := []float64{450, 300, 0, 600, 360, 240, 0} // session RPE x minutes
	for _, kind := range []workload.SD{workload.Sample, workload.Population} {
		w, _ := workload.NewWeek(week, kind)
		fmt.Printf("%s SD: load %.0f, monotony %.3f, strain %.0f\n", kind, w.Load, w.Monotony.Value, w.Strain.Value)
	}
	flat, _ := workload.NewWeek([]float64{300, 300, 300, 300, 300, 300, 300}, workload.Sample)
	fmt.Println(flat.Load, flat.Monotony)
	// Output:
	// sample SD: load 1950, monotony 1.253, strain 2444
	// population SD: load 1950, monotony 1.354, strain 2639
	// 2100 undefined: every day has the same load, so the standard deviation is zero
}

func ExampleEWMARatios() {
	// Two athletes with the same weekly sums, 500, 500, 500 and 750.
	for _, daily := range [][]float64{steady, peaky} {
		rolling, _ := workload.RollingRatios(daily, workload.Coupled, workload.Windows{})
		ewma, _ := workload.EWMARatios(daily, workload.FirstLoad, workload.Windows{})
		fmt.Printf("day 28: rolling %.2f, weighted %.2f (early: %v)\n", rolling[27].Ratio.Value, ewma[27].Ratio.Value, ewma[27].Early)
	}
	// Output:
	// day 28: rolling 1.33, weighted 0.85 (early: true)
	// day 28: rolling 1.33, weighted 1.18 (early: true)
}

func ExampleDiary() {
	var d workload.Diary
	_ = d.Add(20700, 450) // days counted from any date
	_ = d.Add(20703, 300)
	_ = d.Add(20700, 120) // a second session
	week, _ := d.Series(20700, 20706)
	fmt.Println(week)
	// Output: [570 0 0 300 0 0 0]
}

func ExampleRecovery_Reserves() {
	// Five fives with three minutes of rest at a weight that allows about nine
	// repetitions fresh.
	sets := make([]workload.WorkSet, 5)
	for i := range sets {
		sets[i] = workload.WorkSet{Reps: 5, Rest: 180}
	}
	sets[0].Fresh = workload.Capacity{Mean: 9, SD: 1}
	left, err := workload.Recovery{}.Reserves(sets)
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, r := range left {
		fmt.Printf("set %d: %.1f left (%.1f to %.1f)\n", i+1, r.Left.Mid, r.Left.Low, r.Left.High)
	}
	// Output:
	// set 1: 4.0 left (2.7 to 5.3)
	// set 2: 2.6 left (1.1 to 4.0)
	// set 3: 2.2 left (0.6 to 3.7)
	// set 4: 2.0 left (0.5 to 3.6)
	// set 5: 2.0 left (0.4 to 3.5)
}

func ExampleRecovery_Reserves_beyondReach() {
	sets := []workload.WorkSet{
		{Reps: 6, Fresh: workload.Capacity{Mean: 9}, Rest: 60, Between: 45}, // a superset with who knows what
		{Reps: 6},
	}
	left, _ := workload.Recovery{}.Reserves(sets)
	fmt.Println(left[0].Left.Mid)
	fmt.Println(left[1].Reason)
	// Output:
	// 3
	// paired work between the sets may tire the same muscles by an unknown amount
}

func ExampleRecovery_FreshCapacity() {
	// Five fives that are to end with one repetition in reserve.
	sets := make([]workload.WorkSet, 5)
	for i := range sets {
		sets[i] = workload.WorkSet{Reps: 5, Rest: 180}
	}
	c, err := workload.Recovery{}.FreshCapacity(1, sets)
	fmt.Printf("a weight for %.1f repetitions fresh (%.1f to %.1f), %v\n", c.Mid, c.Low, c.High, err)
	// Output: a weight for 8.0 repetitions fresh (7.2 to 8.8), <nil>
}

func ExampleRecovery_Restored() {
	for _, rest := range []float64{60, 120, 180, 300} {
		own, _ := workload.Recovery{}.Restored(rest)
		bi, _ := workload.BiExponential().Restored(rest)
		fmt.Printf("%3.0f s: %.3f, bi-exponential %.3f\n", rest, own, bi)
	}
	// Output:
	//  60 s: 0.509, bi-exponential 0.546
	// 120 s: 0.624, bi-exponential 0.636
	// 180 s: 0.713, bi-exponential 0.690
	// 300 s: 0.832, bi-exponential 0.772
}

func ExampleTimeModel_Session() {
	five := make([]workload.TimedSet, 5)
	for i := range five {
		five[i] = workload.TimedSet{Reps: 5, PerRep: 4, Rest: 180}
	}
	row := make([]workload.TimedSet, 3)
	for i := range row {
		row[i] = workload.TimedSet{Reps: 10, Rest: 90}
	}
	exercises := []workload.TimedExercise{{Sets: five}, {Pair: "A", Sets: row}, {Pair: "A", Sets: row}}
	r, err := workload.TimeModel{}.Session(exercises)
	if err != nil {
		fmt.Println(err)
		return
	}
	r = r.Scale(1. / 60)
	fmt.Printf("about %.0f minutes (%.0f to %.0f)\n", r.Mid, r.Low, r.High)
	// Output: about 29 minutes (18 to 40)
}
