module stencilproof

go 1.26
