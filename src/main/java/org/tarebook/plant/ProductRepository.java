package org.tarebook.plant;

interface ProductRepository extends CodedRepository<Product> {}
