package org.tarebook.plant;

interface LineRepository extends CodedRepository<Line> {}
