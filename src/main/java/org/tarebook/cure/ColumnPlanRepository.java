package org.tarebook.cure;

import org.tarebook.plant.CodedRepository;

interface ColumnPlanRepository extends CodedRepository<ColumnPlan> {}
