package mesh

type finder struct{}
