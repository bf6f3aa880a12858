package org.tarebook.plant;

interface ComponentRepository extends CodedRepository<Component> {}
