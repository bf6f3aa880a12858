package org.tarebook.plant;

interface PressRepository extends CodedRepository<Press> {}
