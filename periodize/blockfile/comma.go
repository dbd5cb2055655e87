package blockfile

import "strings"

// commaHint is for a key that is the second half of a number such as 67,5: within braces a comma begins the next key.
const commaHint = "a comma ends the value before it; write decimals with a point, such as 67.5"

func digitsOnly(key string) bool { return key != "" && strings.Trim(key, "0123456789") == "" }
