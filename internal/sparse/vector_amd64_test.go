package sparse

func setVector(on bool) { haveVector = on }
